// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/control_chart.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/descriptive.hpp"
#include "metrics/series/succession.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr auto kChartName = "The control chart";
constexpr std::size_t kFewest = 5;
constexpr std::size_t kProvisionalBelow = 20;
constexpr double kRangeOfTwo = 1.128;  // mean range of two normal values in standard deviations (d2)
constexpr double kRangeLimit = 3.267;  // D4 for ranges of two

// How many of the last `window` cases up to `at` lie beyond `sigmas` on the side (1 or -1) of the centre.
std::size_t Beyond(const ControlChart& c, std::size_t at, std::size_t window, double sigmas, int side) {
  std::size_t count = 0;
  for (std::size_t back = 0; back < window && back <= at; ++back)
    count += side * (c.points[at - back].value - c.centre) > sigmas * c.sigma;
  return count;
}

std::vector<ControlRule> RulesAt(const ControlChart& c, std::size_t at, bool only_beyond_limit) {
  std::vector<ControlRule> rules;
  const double value = c.points[at].value;
  if (std::fabs(value - c.centre) > 3 * c.sigma) rules.push_back(ControlRule::kBeyondLimit);
  if (only_beyond_limit || value == c.centre) return rules;
  const int side = value > c.centre ? 1 : -1;
  const double distance = side * (value - c.centre);
  if (distance > 2 * c.sigma && Beyond(c, at, 3, 2, side) >= 2) rules.push_back(ControlRule::kTwoOfThree);
  if (distance > c.sigma && Beyond(c, at, 5, 1, side) >= 4) rules.push_back(ControlRule::kFourOfFive);
  if (Beyond(c, at, 8, 0, side) == 8) rules.push_back(ControlRule::kEightOnOneSide);
  return rules;
}

void FillLimits(ControlChart& c, std::span<const double> baseline, const ControlChartOptions& options) {
  c.baseline = baseline.size();
  c.centre = AllEqual(baseline) ? baseline[0] : Mean(baseline).value();
  for (std::size_t i = 1; i < baseline.size(); ++i)
    c.mean_range += std::fabs(baseline[i] - baseline[i - 1]) / static_cast<double>(baseline.size() - 1);
  c.sigma = c.mean_range / kRangeOfTwo;
  c.lower = c.centre - 3 * c.sigma;
  c.upper = c.centre + 3 * c.sigma;
  if (options.not_below) c.lower = std::max(c.lower, *options.not_below);
  c.range_limit = kRangeLimit * c.mean_range;
}

}  // namespace

const char* RuleWords(ControlRule rule) {
  switch (rule) {
    case ControlRule::kBeyondLimit:
      return "beyond a natural limit";
    case ControlRule::kTwoOfThree:
      return "two of three beyond 2 sigma on one side";
    case ControlRule::kFourOfFive:
      return "four of five beyond 1 sigma on one side";
    case ControlRule::kEightOnOneSide:
      return "eight in a row on one side of the centre";
  }
  return "";
}

Result<ControlChart> IndividualsChart(std::span<const double> values, const ControlChartOptions& options) {
  AFTERSCOPE_TRY(CheckValues(values, kFewest, kChartName));
  const std::size_t baseline =
      options.baseline == 0 ? values.size() : std::min(options.baseline, values.size());
  AFTERSCOPE_TRY(CheckValues(values.first(baseline), kFewest, kChartName));
  ControlChart out;
  out.method = "individuals and moving ranges of two, natural limits 2.66 mean moving ranges from the mean";
  FillLimits(out, values.first(baseline), options);
  for (std::size_t i = 0; i < values.size(); ++i) {
    out.points.push_back({values[i], std::nullopt, false, {}});
    if (i > 0) out.points[i].moving_range = std::fabs(values[i] - values[i - 1]);
    out.points[i].range_stands_out = i > 0 && *out.points[i].moving_range > out.range_limit;
    out.points[i].rules = RulesAt(out, i, options.only_beyond_limit);
  }
  if (out.mean_range == 0) out.cautions.emplace_back("All values are equal: the limits have no width.");
  if (baseline < kProvisionalBelow)
    out.cautions.push_back(
        fmt::format("Limits from {} cases are provisional: 20 or more are usual.", baseline));
  AppendCorrelatedCaution(values.first(baseline), out.cautions);
  return out;
}

}  // namespace afterscope
