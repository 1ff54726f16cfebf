// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/series_outcome_table.hpp"
#include "tests/annotate/jobs/series/series_support.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

OutcomeTable Taken(TestSeries& series, const std::string& text) {
  const auto known = LoadKnownColumns(places::kAssets);
  REQUIRE(known.ok());
  const auto read = ReadDelimited(text, "table");
  REQUIRE(read.ok());
  const auto cases = series.Index().CasesUnder(series.folder());
  REQUIRE(cases.ok());
  auto table = OutcomesFromTable(*read, *known, *cases);
  INFO((table.ok() ? "" : table.error().message));
  REQUIRE(table.ok());
  return std::move(*table);
}

void AddThree(TestSeries& series) {
  series.Add({"a1", "2024-01-01", {{"rhexis", 0, 60, "", false}}, "A"});
  series.Add({"a2", "2024-02-01", {{"rhexis", 0, 50, "", false}}, "A"});
  series.Add({"b1", "2024-02-01", {{"rhexis", 0, 55, "", false}}, "B"});
}

}  // namespace

TEST_CASE("The day of a course comes in by a table of people and groups their cases", "[series]") {
  TestSeries series;
  AddThree(series);
  const OutcomeTable table = Taken(series, "operator;course\nA;2024-01-15\nB;soon\nC;2024-01-01\n");
  CHECK(table.rows.size() == 2);  // both cases of A
  REQUIRE(table.cautions.size() == 2);
  CHECK(table.cautions[0] == "Line 3: 'soon' is no date (YYYY-MM-DD) for 'course' and was left out.");
  CHECK(table.cautions[1] == "Line 4: there is no case of operator 'C'.");
  CHECK(KeepOutcomes(table).value() == 2);
  CHECK(KeepOutcomes(table).value() == 0);  // nothing new
  SeriesOptions options;
  options.by = "course";
  const auto model = series.Build(options);
  REQUIRE(model.ok());
  CHECK(model->groups == std::vector<std::string>{"before the course", "since the course"});
}

TEST_CASE("Outcomes and fields of the cases' own come in by the case's code", "[series]") {
  TestSeries series;
  AddThree(series);
  const OutcomeTable table = Taken(
      series, "case,acuity_logmar,risk,extra.room,hair\na1,0.1,0.02,2,x\nb1,clear,0.05,,y\nz,0,0,0,0\n");
  REQUIRE(table.rows.size() == 2);
  using Fields = std::vector<std::pair<std::string, std::string>>;
  CHECK(table.rows[0].fields == Fields{{"outcome.acuity_logmar", "0.1"}, {"risk", "0.02"}, {"room", "2"}});
  CHECK(table.rows[1].fields == Fields{{"risk", "0.05"}});
  CHECK(table.cautions.size() == 3);  // hair, clear, z
}

TEST_CASE("Lines of one case are put together: the later one counts, and that is told", "[series]") {
  TestSeries series;
  AddThree(series);
  const OutcomeTable table =
      Taken(series, "case,acuity_logmar,day1_cornea\na1,0.1,clear\nb1,0.2,\na1,0.3,clear\n");
  REQUIRE(table.rows.size() == 2);
  using Fields = std::vector<std::pair<std::string, std::string>>;
  CHECK(table.rows[0].fields == Fields{{"outcome.acuity_logmar", "0.3"}, {"outcome.day1_cornea", "clear"}});
  REQUIRE(table.cautions.size() == 1);
  CHECK(table.cautions[0] ==
        "Line 2: '0.1' for 'outcome.acuity_logmar' of 'a1' was left out, since line 4 says '0.3' and the "
        "later line counts.");
  CHECK(KeepOutcomes(table).value() == 2);
  // Of people too: one sentence, though two cases are A's.
  CHECK(Taken(series, "operator;course\nA;2024-01-15\nA;2024-01-16\n").cautions.size() == 1);
}

TEST_CASE("A table may have decimal commas", "[series]") {
  TestSeries series;
  AddThree(series);
  using Fields = std::vector<std::pair<std::string, std::string>>;
  const OutcomeTable table = Taken(series, "case;refraction_d;late_complications\na1;-0,250;haze, 2,5\n");
  REQUIRE(table.rows.size() == 1);
  CHECK(table.rows[0].fields ==
        Fields{{"outcome.refraction_d", "-0.250"}, {"outcome.late_complications", "haze, 2,5"}});
  // Where a comma separates cells, it may part thousands.
  const OutcomeTable unsure = Taken(series, "case,refraction_d,target_d\na1,\"-1,250\",\"-0,250\"\n");
  REQUIRE(unsure.rows.size() == 1);
  CHECK(unsure.rows[0].fields == Fields{{"outcome.target_d", "-0.250"}});
  CHECK(unsure.cautions.at(0).find("may part decimals or thousands") != std::string::npos);
}

TEST_CASE("What an outcome can't be is left out, and old records keep it", "[series]") {
  TestSeries series;
  TestCase old{"old", "2024-01-01", {{"rhexis", 0, 60, "", false}}, "A"};
  old.fields = {SetCaseField{"extra.outcome.acuity_logmar", "55"}, SetCaseField{"extra.risk", "7"}};
  series.Add(old);
  const auto cases = series.Index().CasesUnder(series.folder());
  REQUIRE(cases.ok());
  CHECK(cases->at(0).extra.at("outcome.acuity_logmar") == "55");
  CHECK(series.Build().ok());
  const OutcomeTable table =
      Taken(series,
            "case,acuity_logmar,day1_pressure_mmhg,risk,refraction_d,case_number,extra.follow_up.first_day,"
            "extra.follow_up_done.first_day,extra.own\n"
            "old,55,1e9,7,-31,0,soon,soon,soon\n"
            "old,-0.6,-400,-1,31,2e6,2024-01-03 to 2024-01-02,2024-13-45,soon\n");
  REQUIRE(table.rows.size() == 1);
  CHECK(table.rows[0].fields == std::vector<std::pair<std::string, std::string>>{{"own", "soon"}});
  CHECK(table.cautions.size() == 14);
  CHECK(table.cautions[0] ==
        "Line 2: '55' is more than the 3.5 that 'outcome.acuity_logmar' can be at most and was left out.");
  const OutcomeTable ends = Taken(series,
                                  "case,acuity_logmar,day1_pressure_mmhg,risk,extra.follow_up.first_day\n"
                                  "old,-0.5,0,1,2024-01-02 to 2024-01-02\n");
  CHECK(ends.cautions.empty());
  CHECK(ends.rows.at(0).fields.size() == 4);
}

TEST_CASE("A table that says nothing of cases is refused", "[series]") {
  const KnownColumns known{{{"acuity_logmar", "", "number"}}, {{"course", "", "date"}}};
  for (const char* text : {"who,course\nA,2024-01-01\n", "case,hair\na1,x\n", "operator,extra.\nA,x\n"}) {
    const auto read = ReadDelimited(text, "table");
    REQUIRE(read.ok());
    CHECK(OutcomesFromTable(*read, known, {}).error().code == ErrorCode::kBadCall);
  }
}

TEST_CASE("An outcome that is typed is checked as one of a table is", "[series]") {
  const NamedKey pressure{"day1_pressure_mmhg", "First-day pressure, mmHg", "number"};
  const auto edit = KnownFieldEdit(pressure, "outcome.day1_pressure_mmhg", " 18 ");
  REQUIRE(edit.ok());
  REQUIRE(edit->edits.size() == 1);
  const auto& field = std::get<SetCaseField>(edit->edits[0]);
  CHECK(field.field == "extra.outcome.day1_pressure_mmhg");
  CHECK(field.text == "18");
  CHECK(KnownFieldEdit(pressure, "outcome.day1_pressure_mmhg", "high").error().code == ErrorCode::kBadCall);
  CHECK(KnownFieldEdit(pressure, "outcome.day1_pressure_mmhg", "").ok());
  CHECK(KnownFieldEdit({"course", "Day of the course", "date"}, "course", "5 May").error().message ==
        "'5 May' is no date (YYYY-MM-DD) for 'Day of the course': the case stays as it was.");
}

}  // namespace afterscope
