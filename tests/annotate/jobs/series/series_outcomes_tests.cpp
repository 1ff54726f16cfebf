// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/plan_change.hpp"
#include "tests/annotate/jobs/series/series_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>

namespace afterscope {

TEST_CASE("A case of which nobody said anything is no case without a complication", "[series]") {
  TestSeries series;
  series.Add({"silent", "2024-01-01", {{"rhexis", 0, 60, "", false}}});
  auto silent = series.Build();
  REQUIRE(silent.ok());
  CHECK(silent->complications_known == 0);
  CHECK_FALSE(silent->cusums[0].sequential.chart.value);
  CHECK_FALSE(silent->cautions.empty());
  TestCase checked{"checked", "2024-01-02", {{"rhexis", 0, 60, "", false}}};
  checked.is_checked = true;
  series.Add(checked);
  TestCase ruptured{"ruptured", "2024-01-03", {{"rhexis", 0, 60, "", false}}};
  ruptured.complications = {"posterior_capsule_rupture"};
  series.Add(ruptured);
  const auto model = series.Build();
  REQUIRE(model.ok());
  CHECK(model->complications_known == 2);
  REQUIRE(model->complications.size() == 1);
  CHECK(model->complications[0].cases == 1);
  REQUIRE(model->cusums[0].sequential.chart.value);
  // p0 0.05, p1 0.10: a success lowers the sum by 0.072358, a failure raises it by 0.927642 (Bolsin & Colson
  // 2000, Int J Qual Health Care 12:433).
  CHECK(model->cusums[0].sequential.chart.value->points[0].score == Approx(-0.072358).epsilon(1e-4));
  CHECK(model->cusums[0].sequential.chart.value->points[1].score == Approx(0.855284).epsilon(1e-4));
}

TEST_CASE("A complication that may be any leaves a case out of the sums, not a failing one beside it",
          "[series]") {
  TestSeries series;
  const std::vector<std::vector<std::string>> complications{
      {"iris_trauma"},
      {"posterior_capsule_ruptur"},
      {""},
      {"posterior_capsule_ruptur", "posterior_capsule_rupture"}};
  for (std::size_t i = 0; i < complications.size(); ++i) {
    TestCase entry{fmt::format("c{}", i), DateOf(static_cast<int>(i) + 1), {{"rhexis", 0, 60, "", false}}};
    entry.complications = complications[i];
    series.Add(entry);
  }
  const auto model = series.Build();
  REQUIRE(model.ok());
  const SeriesCusum& capsule = model->cusums.at(0);
  CHECK(capsule.cases == std::vector<std::size_t>{0, 3});
  CHECK(capsule.outcomes == std::vector<Outcome>{Outcome::kSuccess, Outcome::kFailure});
  const auto told = std::find_if(
      model->cautions.begin(), model->cautions.end(),
      [](const std::string& caution) { return caution.find("posterior_capsule_ruptur") != caution.npos; });
  REQUIRE(told != model->cautions.end());
  CHECK(told->starts_with("3 cases have a complication whose meaning is not known ("));
}

// Risk-adjusted weights at an odds ratio of 2 (Steiner et al. 2000): a failure at a risk of 0.10 adds
// ln(2 / 1.1) = 0.597837, a success at 0.05 takes off ln(1.05) = 0.048790.
TEST_CASE("Sums are adjusted for the risks that were entered, and their design can be changed", "[series]") {
  TestSeries series;
  for (int number = 1; number <= 3; ++number)
    series.Add(
        {fmt::format("c{}", number),
         DateOf(number),
         {{"cortex", 0, 60, "", false}},
         "T-1",
         {},
         number == 1 ? std::vector<std::string>{"posterior_capsule_rupture"} : std::vector<std::string>{},
         {SetCaseField{"extra.risk", number == 1 ? "0.10" : "0.05"}},
         true});
  SeriesOptions options;
  options.plan = *LoadSeriesPlan(std::string(places::kAssets) + "/series/usual.json");
  PlanChange change;
  change.unacceptable = 0.2;
  change.time_limits = {"cortex=30"};
  REQUIRE(ChangePlan(options.plan, change).ok());
  const auto model = series.Build(options);
  REQUIRE(model.ok());
  REQUIRE(model->cusums.size() == 2);
  const SeriesCusum& capsule = model->cusums[0];
  CHECK(capsule.plan.design.unacceptable == 0.2);
  REQUIRE(capsule.risk_adjusted.chart.value);
  CHECK(capsule.risk_adjusted.chart.value->points[0].score == Approx(0.597837).epsilon(1e-5));
  CHECK(capsule.risk_adjusted.chart.value->points[2].score == Approx(0.597837 - 2 * 0.048790).epsilon(1e-4));
  CHECK(model->cusums[1].outcomes == std::vector<Outcome>(3, Outcome::kFailure));
  CHECK_FALSE(model->cusums[1].risk_adjusted.chart.value);  // the risk is that of a complication
  // A design that makes no sense changes nothing.
  const std::size_t before = options.plan.cusums.size();
  change.acceptable = 0.5;
  CHECK(ChangePlan(options.plan, change).error().code == ErrorCode::kBadCall);
  CHECK(options.plan.cusums.size() == before);
  CHECK(ChangePlan(options.plan, {{}, {}, {}, {}, {"cortex=soon"}}).error().code == ErrorCode::kBadCall);
}

// The same weights (Steiner et al. 2000): the case between them has no risk, so that nothing is added there.
TEST_CASE("A case without a risk is passed over by the adjusted sum, and that is said", "[series]") {
  TestSeries series;
  for (int number = 1; number <= 3; ++number)
    series.Add(
        {fmt::format("c{}", number),
         DateOf(number),
         {{"cortex", 0, 60, "", false}},
         "T-1",
         {},
         number < 3 ? std::vector<std::string>{"posterior_capsule_rupture"} : std::vector<std::string>{},
         number == 2 ? std::vector<Edit>{}
                     : std::vector<Edit>{SetCaseField{"extra.risk", number == 1 ? "0.10" : "0.05"}},
         true});
  SeriesOptions options;
  options.plan = *LoadSeriesPlan(std::string(places::kAssets) + "/series/usual.json");
  const auto model = series.Build(options);
  REQUIRE(model.ok());
  const SeriesCusum& capsule = model->cusums.at(0);
  CHECK(capsule.without_risk == 1);
  CHECK(capsule.failures_without == 1);
  REQUIRE(capsule.risk_adjusted.chart.value);
  const auto& points = capsule.risk_adjusted.chart.value->points;
  REQUIRE(points.size() == 3);
  CHECK(points[0].score == Approx(0.597837).epsilon(1e-5));
  CHECK(points[1].score == points[0].score);
  CHECK(points[2].score == Approx(0.597837 - 0.048790).epsilon(1e-4));
  CHECK(capsule.risk_adjusted.meaning ==
        "No sign of a change from the risks entered in 2 cases. 1 case without its own risk is passed over, "
        "with 1 of "
        "the failures.");
}

}  // namespace afterscope
