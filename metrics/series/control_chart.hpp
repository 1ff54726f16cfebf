// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// What makes a case stand out; the Western Electric rules (Statistical Quality Control Handbook, 1956).
enum class ControlRule {
  kBeyondLimit,     // beyond a natural limit (3 sigma)
  kTwoOfThree,      // this and one of the two before it beyond 2 sigma on the same side
  kFourOfFive,      // this and three of the four before it beyond 1 sigma on the same side
  kEightOnOneSide,  // this and the seven before it on the same side of the centre
};

// The rule in words for the reader.
const char* RuleWords(ControlRule rule);

struct ControlChartOptions {
  std::size_t baseline = 0;        // limits from the first so many cases; 0: from all
  bool only_beyond_limit = false;  // leave out the other three rules, which raise more false alarms
  std::optional<double>
      not_below;  // a bound that values can't pass (0 for times): the lower limit is cut there
};

struct ControlPoint {
  double value = 0;
  std::optional<double> moving_range;  // distance from the case before; none for the first
  bool range_stands_out = false;       // beyond the limit of moving ranges
  std::vector<ControlRule> rules;      // that this case completes
};

// Chart of individual values and their moving ranges of two.
struct ControlChart {
  std::size_t baseline = 0;  // cases that the limits were computed from
  double centre = 0;         // their mean
  double lower = 0;          // natural limits: centre -+ 3 / 1.128 = 2.66 times the mean moving range
  double upper = 0;
  double sigma = 0;  // mean moving range / 1.128
  double mean_range = 0;
  double range_limit = 0;  // 3.267 times the mean moving range
  std::vector<ControlPoint> points;
  std::string method;
  std::vector<std::string> cautions;
};

// Values in order of time. At least 5, as in the baseline; under 20 the limits are called provisional (common
// practice, no source). All baseline values equal: limits of no width, with a caution. Constants:
// NIST/SEMATECH e-Handbook 6.3.2.2.
Result<ControlChart> IndividualsChart(std::span<const double> values,
                                      const ControlChartOptions& options = {});

}  // namespace afterscope
