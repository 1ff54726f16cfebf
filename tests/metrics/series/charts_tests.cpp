// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/control_chart.hpp"
#include "metrics/series/run_chart.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

namespace afterscope {
namespace {

// Twenty cases that alternate between 9 and 11, so that centre and mean moving range are 10 and 2, then
// `more`.
std::vector<double> AfterBaseline(std::initializer_list<double> more) {
  std::vector<double> values;
  for (int i = 0; i < 20; ++i) values.push_back(i % 2 ? 11 : 9);
  values.insert(values.end(), more);
  return values;
}

std::vector<ControlRule> LastRules(std::initializer_list<double> more, bool only_beyond_limit = false) {
  ControlChartOptions options;
  options.baseline = 20;
  options.only_beyond_limit = only_beyond_limit;
  return IndividualsChart(AfterBaseline(more), options)->points.back().rules;
}

}  // namespace

// NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.2, flow rates (the data from memory; there
// centre 50.81, mean range 1.8778, limits 55.8041 and 45.8159), recomputed with R 4.2.2.
TEST_CASE("Individuals chart of the handbook's flow rates", "[series]") {
  const std::vector<double> flow{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
  const ControlChart c = IndividualsChart(flow).value();
  CHECK(c.centre == Approx(50.81));
  CHECK(c.mean_range == Approx(1.877777778).epsilon(1e-9));
  CHECK(c.upper == Approx(55.80408983).epsilon(1e-9));
  CHECK(c.lower == Approx(45.81591017).epsilon(1e-9));
  CHECK(c.upper - c.centre == Approx(2.66 * c.mean_range).epsilon(2e-4));
  CHECK(c.range_limit == Approx(6.1347).epsilon(1e-4));
  CHECK(c.points[4].moving_range.value() == Approx(3.5));
  for (const ControlPoint& p : c.points) CHECK(p.rules.empty());
  CHECK(c.cautions.front() == "Limits from 10 cases are provisional: 20 or more are usual.");
}

// Western Electric rules (1956). Centre 10, sigma 2 / 1.128 = 1.773: 1 sigma at 11.77, 2 at 13.55, 3
// at 15.32.
TEST_CASE("Cases stand out by the stated rules", "[series]") {
  using Rules = std::vector<ControlRule>;
  CHECK(LastRules({15.3}).empty());
  CHECK(LastRules({15.4}) == Rules{ControlRule::kBeyondLimit});
  CHECK(LastRules({4.6}) == Rules{ControlRule::kBeyondLimit});
  CHECK(LastRules({13.6, 10.5, 13.6}) == Rules{ControlRule::kTwoOfThree});
  CHECK(LastRules({13.6, 10.5, 6.4}).empty());
  CHECK(LastRules({13.6, 13.6, 10.5}).empty());  // it stood out one case earlier
  CHECK(LastRules({8.2, 8.2, 10.5, 8.2, 8.2}) == Rules{ControlRule::kFourOfFive});
  CHECK(LastRules({8.2, 8.2, 10.5, 8.3, 8.2}).empty());
  CHECK(LastRules({9.5, 10.1, 10.1, 10.1, 10.1, 10.1, 10.1, 10.1}).empty());
  CHECK(LastRules({9.5, 10.1, 10.1, 10.1, 10.1, 10.1, 10.1, 10.1, 10.1}) ==
        Rules{ControlRule::kEightOnOneSide});
  CHECK(LastRules({9.5, 10.1, 10.1, 10.1, 10.1, 10.1, 10.1, 10.1, 10.1}, true).empty());
  ControlChartOptions options;
  options.baseline = 20;
  CHECK(IndividualsChart(AfterBaseline({17.6}), options)->points.back().range_stands_out);  // 6.6 > 6.534
  CHECK_FALSE(IndividualsChart(AfterBaseline({17.5}), options)->points.back().range_stands_out);
}

TEST_CASE("Control charts of small numbers, equal and missing values", "[series]") {
  CHECK(IndividualsChart({}).error().message ==
        "The control chart cannot be computed from 0 values: at least 5 are needed.");
  CHECK_FALSE(IndividualsChart(std::vector<double>{1, 2, 3, 4}).ok());
  CHECK_FALSE(IndividualsChart(std::vector<double>{1, 2, std::nan(""), 4, 5}).ok());
  const ControlChart equal = IndividualsChart(std::vector<double>(25, 0.1)).value();
  CHECK(equal.lower == 0.1);
  CHECK(equal.upper == 0.1);
  CHECK(equal.cautions == std::vector<std::string>{"All values are equal: the limits have no width."});
  for (const ControlPoint& p : equal.points) CHECK(p.rules.empty());
  ControlChartOptions times;
  times.not_below = 0;
  CHECK(IndividualsChart(std::vector<double>{1, 30, 2, 40, 3}, times)->lower == 0);
  CHECK(IndividualsChart(std::vector<double>{1, 30, 2, 40, 3})->lower < 0);
}

// rpois(24, 16) with set.seed(5) in R 4.2.2; runs by rle(), limits by qbinom(0.05, n - 1, 0.5) and
// round(log2(n) + 3).
TEST_CASE("Run chart about the median", "[series]") {
  const std::vector<double> counts{12, 13, 16, 22, 13, 16, 12, 16, 20, 12, 15, 23,
                                   22, 18, 19, 19, 21, 18, 19, 14, 21, 21, 13, 11};
  const RunChart r = RunChartOf(counts).value();
  CHECK(r.quartiles.median == 17);
  CHECK(r.useful == 24);
  CHECK(r.longest_run == 8);
  CHECK(r.longest_usual == 8);
  CHECK(r.crossings == 8);
  CHECK(r.fewest_usual == 8);
  CHECK_FALSE(r.shift);

  const RunChart step =
      RunChartOf(std::vector<double>{5, 5.1, 5.2, 5, 5.1, 5.3, 3, 3.1, 3.2, 3, 3.1, 3.3}).value();
  CHECK(step.longest_run == 6);
  CHECK(step.longest_usual == 7);  // round(log2(12) + 3) = round(6.58)
  CHECK(step.crossings == 1);
  CHECK(step.shift);
}

TEST_CASE("Run charts of small numbers", "[series]") {
  CHECK_FALSE(RunChartOf({}).ok());
  const RunChart one = RunChartOf(std::vector<double>{4}).value();
  CHECK_FALSE(one.judged);
  CHECK_FALSE(RunChartOf(std::vector<double>{1, 2, 3}).value().shift);
  CHECK(RunChartOf(std::vector<double>(30, 5.0))->useful == 0);
  CHECK_FALSE(RunChartOf(std::vector<double>{1, std::nan("")}).ok());
}

}  // namespace afterscope
