// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"
#include "tests/annotate/jobs/series/series_support.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string>
#include <vector>

// What is said of figures whose numbers are known, in the words of the assets. The numbers themselves are
// checked in tests/metrics/series.

namespace afterscope {
namespace {

ReportWords Words() { return LoadReportWords(std::string(places::kAssets) + "/reports/words.json").value(); }

// One person's seconds, in order of date.
SeriesMeasure Described(const std::vector<double>& seconds) {
  SeriesModel model;
  SeriesMeasure measure;
  measure.name = "time.step_total";
  measure.unit = "s";
  SeriesOrder order;
  for (std::size_t i = 0; i < seconds.size(); ++i) {
    model.cases.emplace_back().date = "2024-01-01";
    measure.points.push_back({i, seconds[i], seconds[i], seconds[i], false, {}});
    order.numbers.push_back(static_cast<double>(i + 1));
  }
  AnalyseMeasure(measure, order, 0.95);
  DescribeMeasure(measure, model, Words());
  return measure;
}

std::vector<Outcome> Outcomes(const std::string& failures) {
  std::vector<Outcome> outcomes;
  for (const char c : failures) outcomes.push_back(c == '1' ? Outcome::kFailure : Outcome::kSuccess);
  return outcomes;
}

SeriesCusum Summed(const std::string& failures, const SequentialDesign& design, CusumLimit limit = {}) {
  SeriesModel model;
  SeriesCusum& cusum = model.cusums.emplace_back();
  cusum.plan.design = design;
  cusum.tabular_design = {design.acceptable, design.unacceptable, limit};
  cusum.outcomes = Outcomes(failures);
  cusum.sequential.chart.value = SequentialCusum(cusum.outcomes, design).value();
  cusum.tabular.chart.value = TabularCusum(cusum.outcomes, cusum.tabular_design).value();
  cusum.risk_adjusted.chart.value =
      RiskAdjustedCusum(cusum.outcomes, std::vector<double>(failures.size(), design.acceptable)).value();
  DescribeSums(model, Words());
  return model.cusums[0];
}

}  // namespace

// An exact power law with b = -1/4: 2^b = 0.8409, so 16 % less with each doubling.
TEST_CASE("A learning curve is told by what a doubling of experience does", "[series][sentences]") {
  std::vector<double> falling;
  std::vector<double> rising;
  for (int n = 1; n <= 24; ++n) {
    falling.push_back(600 * std::pow(n, -0.25));
    rising.push_back(100 * std::pow(n, 0.25));
  }
  CHECK(Says(Described(falling), "Each doubling of experience lowers the value by 16 % (16 to 16 %)."));
  CHECK(Says(Described(rising), "Each doubling of experience raises the value by 19 % (19 to 19 %)."));
  const std::vector<double> twelve(falling.begin(), falling.begin() + 12);
  CHECK(Says(Described(twelve), "12 cases are too few for a learning curve: it takes at least 20."));
}

// Runs of 24 counts by R's rle(): 8 on one side, 8 crossings, both as usual.
TEST_CASE("A level that stays, shifts or drifts is told", "[series][sentences]") {
  const SeriesMeasure level = Described(
      {12, 13, 16, 22, 13, 16, 12, 16, 20, 12, 15, 23, 22, 18, 19, 19, 21, 18, 19, 14, 21, 21, 13, 11});
  CHECK(Says(level, "These 24 cases show no change with experience."));
  const bool moves = level.direction.value->p < 0.05 || level.change.value->p < 0.05;
  CHECK(Says(level, "The cases vary about one level.") == !moves);
  const SeriesMeasure step = Described({5, 5.1, 5.2, 5, 5.1, 5.3, 3, 3.1, 3.2, 3, 3.1, 3.3});
  CHECK(Says(step,
             "The cases cross the median less often than chance would: the level drifts or has shifted."));
  std::vector<double> shifted(9, 5);
  shifted.insert(shifted.end(), 9, 3);
  for (std::size_t i = 0; i < shifted.size(); ++i) shifted[i] += 0.01 * static_cast<double>(i % 3);
  CHECK(Says(Described(shifted), "9 cases in a row lie on one side of the median: the level has shifted."));
}

// Four failures: 4 x 0.9276 > 2.94 (tests/metrics/series/cusum_tests.cpp).
TEST_CASE("Cumulative sums say what their signal means and how they were designed", "[series][sentences]") {
  const SeriesCusum worse = Summed("1111100", {.05, .10, .1, .1});
  CHECK(worse.sequential.meaning ==
        "At case 4 the failures became too many for a rate of 5 %: look for the reason.");
  CHECK(worse.sequential.design ==
        "Acceptable 5 %, unacceptable 10 %. Each failure adds 0.9276, each success takes off 0.0724 (s). "
        "2.941 above the last decision (h1) the rate is called unacceptable, wrongly with a chance of about "
        "10 % (alpha); 2.941 below it (h0) acceptable, wrongly with a chance of about 10 % (beta).");
  CHECK(worse.tabular.meaning.find("the failures became too many for a rate of 5 %.") != std::string::npos);
  CHECK(worse.tabular.design.find("5 % against 10 %, limit ") == 0);
  CHECK(worse.tabular.design.find("5 % chance of a false signal within 100 cases") != std::string::npos);
  CHECK(worse.risk_adjusted.meaning.find("became too many for the risks entered.") != std::string::npos);
  CHECK(worse.risk_adjusted.design.find("odds ratio 2 against the risks entered, limit ") == 0);

  // References: 41 successes in a row rule out 10 % (h0 / s = 2.940554 / 0.072358).
  CHECK(Summed(std::string(41, '0'), {.05, .10, .1, .1}).sequential.meaning ==
        "By case 41 the failures were few enough to rule out a rate of 10 %: acceptable.");
  const SeriesCusum open = Summed("0", {.05, .10, .1, .1});
  CHECK(
      open.sequential.meaning ==
      "Nothing is decided yet by 1 case: neither 5 % nor 10 % is ruled out; without a failure that takes 41 "
      "cases.");
  CHECK(Summed("1" + std::string(40, '0'), {.05, .10, .1, .1}).sequential.meaning ==
        "Nothing is decided yet by 41 cases: neither 5 % nor 10 % is ruled out.");
  CHECK(open.tabular.meaning == "No sign of a change from a rate of 5 % in 1 case.");
  CHECK(open.risk_adjusted.meaning == "No sign of a change from the risks entered in 1 case.");
}

// By hand. Wilson's limits of 1 of 2: 9.45 % to 90.55 % (as for every half of two).
TEST_CASE("Complications, case mix and ways are told in lines", "[series][sentences]") {
  TestSeries series;
  TestCase ruptured{"a", "2024-01-01", {{"rhexis", 10, 70, "", false}, {"lens", 75, 100, "", false}}};
  ruptured.complications = {"posterior_capsule_rupture"};
  ruptured.difficulty = {"small_pupil"};
  series.Add(ruptured);
  TestCase checked{"b", "2024-01-02", {{"rhexis", 10, 70, "", false}, {"lens", 75, 100, "", false}}};
  checked.is_checked = true;
  series.Add(checked);
  const auto model = series.Build();
  REQUIRE(model.ok());
  const auto holds = [](const std::vector<std::string>& lines, const std::string& words) {
    return std::find(lines.begin(), lines.end(), words) != lines.end();
  };
  REQUIRE(model->complications_said.size() == 2);
  CHECK(holds(model->complications_said, "Of 2 of 2 cases it is known whether there was a complication."));
  CHECK(model->complications_said[1].find(": 1, that is 50\u00a0% (9\u00a0% to 91\u00a0%)") !=
        std::string::npos);
  CHECK(holds(model->mix_said,
              "routine: 1 case; median of the whole operation 1:30.0; with a complication 0 of 1, 0\u00a0% "
              "(0\u00a0% to "
              "79\u00a0%)"));
  CHECK(holds(model->passages_said, "Rhexis → Lens: 2 (100\u00a0%), median gap 5.0\u00a0s"));
  CHECK(holds(model->passages_said, "(beginning) → Rhexis: 2 (100\u00a0%)"));
}

}  // namespace afterscope
