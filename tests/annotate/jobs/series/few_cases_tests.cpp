// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/exported_number.hpp"
#include "annotate/exchange/series_json.hpp"
#include "annotate/report/series/series_report.hpp"
#include "tests/annotate/jobs/series/series_support.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <map>
#include <variant>

// Small numbers: whatever few, equal or missing values there are, the words are right and no number is none.

namespace afterscope {
namespace {

// One case a value, each a day later; below 0: the case lacks the step.
void AddCases(TestSeries& series, const std::vector<double>& seconds, const std::string& who,
              const std::vector<std::string>& difficulty = {}) {
  int number = 0;
  for (const double s : seconds) {
    ++number;
    const std::string day = fmt::format("2024-01-{:02}", number);
    std::vector<SecondsVisit> visits{{"lens", 200, 230, "", false}};
    if (s >= 0) visits.insert(visits.begin(), {"rhexis", 10, 10 + s, "", false});
    series.Add({fmt::format("{}{}{}", who, difficulty.size(), number), day, visits, who, difficulty});
  }
}

Result<SeriesModel> BuildBy(TestSeries& series, const std::string& by) {
  SeriesOptions options;
  options.by = by;
  return series.Build(options);
}

// Neither in the report nor in the tables stands what is no number.
void CheckTexts(const SeriesModel& model) {
  const auto words = LoadReportWords(std::string(places::kAssets) + "/reports/words.json");
  REQUIRE(words.ok());
  std::string texts = ExportedText(JsonFromSeries(model)) + CsvFromSeries(model) + JsonLinesFromSeries(model);
  const SheetDocument report = SeriesReport(model, *words);
  for (const auto& section : report.sections)
    for (const auto& block : section.blocks)
      if (const auto* text = std::get_if<DocumentText>(&block)) texts += text->text + "\n";
  for (const char* nonsense : {"nan", "inf", "NaN", " ?", "series.said", "-0.0"}) {
    INFO(nonsense);
    CHECK(texts.find(nonsense) == std::string::npos);
  }
  CHECK(texts.find(" 1 cases") == std::string::npos);
}

}  // namespace

TEST_CASE("Whatever few or equal values there are, every text of the series is sound", "[series][few]") {
  const std::vector<std::vector<double>> all{{60},
                                             {60, 60},
                                             {60, 61},
                                             {60, 60, 60},
                                             {60, 70, 65},
                                             {60, 60, 65, 65, 60},
                                             {60, 60, 60, 60, 60, 60},
                                             {60, -1, 65, -1, 60, 60, 65, 60, 70},
                                             {-1, -1, 60},
                                             {0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.2}};
  for (const auto& values : all) {
    TestSeries series;
    AddCases(series, values, "A");
    for (const char* by : {"", "operator", "difficulty", "course", "date:2024-01-02", "operator:A"}) {
      INFO(values.size() << " values by " << by);
      const auto model = BuildBy(series, by);
      REQUIRE(model.ok());
      CheckTexts(*model);
    }
  }
}

TEST_CASE("Two and three equal cases are said to be equal, not a range from a value to itself",
          "[series][few]") {
  for (const std::size_t n : {2U, 3U, 5U}) {
    TestSeries series;
    AddCases(series, std::vector<double>(n, 60), "A");
    const auto model = series.Build();
    REQUIRE(model.ok());
    CHECK(
        Says(MeasureOf(*model, "rhexis"), fmt::format("Only {} cases, all with the same value, 1:00.0", n)));
  }
}

// Six against one: the limits of the exact rank-sum test at 95 % need at least 2 / C(7, 1) <= 0.05, which is
// not so (Lehmann 1975): the extreme differences are no limits.
TEST_CASE("Groups too small for limits get none", "[series][few]") {
  TestSeries series;
  AddCases(series, {50, 52, 54, 56, 58, 61}, "A");
  AddCases(series, {80}, "B");
  const auto model = BuildBy(series, "operator");
  REQUIRE(model.ok());
  const SeriesMeasure& rhexis = MeasureOf(*model, "rhexis");
  CHECK(Says(rhexis, "B against A: +25.0 s (too few cases for limits; p = 0.286)."));
  const nlohmann::ordered_json json = JsonFromSeries(*model);
  bool found = false;
  for (const auto& measure : json["measures"])
    if (measure["step"] == "rhexis") {
      found = true;
      const auto& difference = measure["comparisons"][0]["difference"]["difference"];
      CHECK(difference["value"] == 25.0);
      CHECK(difference["low"].is_null());
    }
  CHECK(found);
}

TEST_CASE("Groups of equal values are said not to differ", "[series][few]") {
  TestSeries series;
  AddCases(series, {60, 60, 60}, "A");
  AddCases(series, {60, 60}, "B");
  const auto model = BuildBy(series, "operator");
  REQUIRE(model.ok());
  CHECK(Says(MeasureOf(*model, "rhexis"), "B against A: All values are equal: the groups do not differ."));
}

// By hand: of the 21 slopes five lie below -5, six are -5, ten above: the median is -5.
TEST_CASE("A change in few cases is told from case to case, not in ten", "[series][few]") {
  TestSeries series;
  AddCases(series, {90, 84, 80, 73, 70, 66, 60}, "A");
  const auto model = series.Build();
  REQUIRE(model.ok());
  CHECK(Says(MeasureOf(*model, "rhexis"), "Falls by 5.0 s from case to case ("));
  CHECK_FALSE(Says(MeasureOf(*model, "rhexis"), "ten cases"));
}

TEST_CASE("Within the same difficulty is said where there are several", "[series]") {
  TestSeries series;
  AddCases(series, {50, 52, 54, 56, 58, 61}, "A");
  AddCases(series, {80, 82, 84, 86, 88, 91}, "B");
  AddCases(series, {70, 72, 74}, "A", {"small_pupil"});
  AddCases(series, {100, 102, 104}, "B", {"small_pupil"});
  const auto model = BuildBy(series, "operator");
  REQUIRE(model.ok());
  CHECK(Says(MeasureOf(*model, "rhexis"), "Within the same difficulty: +30.0 s (+"));
  // Routine eyes are what difficult ones are set against.
  const auto eyes = BuildBy(series, "difficulty");
  REQUIRE(eyes.ok());
  CHECK(eyes->groups == std::vector<std::string>{"routine", "difficult"});
}

TEST_CASE("A field that holds a day parts the cases, for each operator by his own", "[series]") {
  TestSeries series;
  const auto add = [&](const std::string& code, const std::string& date, const std::string& who,
                       const std::string& course) {
    series.Add(
        {code, date, {{"rhexis", 0, 60, "", false}}, who, {}, {}, {SetCaseField{"extra.course", course}}});
  };
  add("a1", "2024-01-10", "A", "2024-02-01");
  add("a2", "2024-02-01", "A", "2024-02-01");  // the day itself is since
  add("b1", "2024-02-10", "B", "2024-03-01");
  add("b2", "2024-03-02", "B", "2024-03-01");
  add("c", "", "A", "2024-02-01");
  const auto model = BuildBy(series, "course");
  REQUIRE(model.ok());
  CHECK(model->groups == std::vector<std::string>{"before the course", "since the course"});
  std::map<std::string, std::string> groups;
  for (const SeriesCase& entry : model->cases) groups[entry.code] = entry.group;
  CHECK(groups["a1"] == "before the course");
  CHECK(groups["a2"] == "since the course");
  CHECK(groups["b1"] == "before the course");
  CHECK(groups["b2"] == "since the course");
  CHECK(groups["c"].empty());
  bool told = false;
  for (const std::string& caution : model->cautions)
    told = told || caution.find("1 case is in no group of ‘course’") != std::string::npos;
  CHECK(told);
}

TEST_CASE("One person is set against the others by their role", "[series]") {
  TestSeries series;
  const auto add = [&](const std::string& code, const std::string& who, const std::string& role) {
    series.Add({code,
                "2024-01-10",
                {{"rhexis", 0, 60, "", false}},
                who,
                {},
                {},
                {SetCaseField{"operator_role", role}}});
  };
  add("t", "A", "trainee");
  add("s", "S", "surgeon");
  add("r", "R", "surgeon");
  add("u", "U", "");
  const auto model = BuildBy(series, "operator:A");
  REQUIRE(model.ok());
  CHECK(model->groups.size() == 3);
  CHECK(model->groups.front() != "A");
  std::map<std::string, std::string> groups;
  for (const SeriesCase& entry : model->cases) groups[entry.code] = entry.group;
  CHECK(groups["t"] == "A");
  CHECK(groups["s"] == "surgeon");
  CHECK(groups["u"] == "others");
}

}  // namespace afterscope
