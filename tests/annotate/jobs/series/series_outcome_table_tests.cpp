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
