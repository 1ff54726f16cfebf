// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/series/power_law.hpp"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

struct LearningCurveOptions {
  // Fewer cases get no curve. 20: common practice, no source. Never fewer than 9, whatever is
  // asked for.
  std::size_t fewest_cases = 20;
  double level = 0.95;
  PowerLawError error = PowerLawError::kAdditive;
};

enum class LearningVerdict {
  kTooFewCases,  // no curve is drawn
  kNoChange,     // a level line describes the cases as well
  kFalling,      // the values fall with experience, beyond chance
  kRising,       // they rise
};

struct LearningCurve {
  LearningVerdict verdict = LearningVerdict::kTooFewCases;
  std::size_t n = 0;
  std::size_t fewest_cases = 0;   // that a curve takes
  std::optional<PowerLaw> curve;  // also when the verdict is kNoChange, to be drawn faintly or not at all
  double level_line = 0;  // the mean (the geometric mean if multiplicative), what no change means here
  double f = 0;           // of the curve against the level line, 1 and n - 2 degrees
  double p = 1;
  double aicc_gain = 0;  // AICc of the level line less that of the curve; above 0 speaks for the curve
  std::string method;
  std::vector<std::string> cautions;
};

// The learning curve of one operator's cases: `case_number` counts that operator's cases from 1 (gaps and
// ties allowed), `values` are what should change with experience. A change is claimed only if both agree: the
// F test at 1 - level and the corrected Akaike criterion (Hurvich & Tsai 1989, Biometrika 76:297; variance
// counted as a parameter). All values equal: kNoChange without a curve. Too few cases is a verdict. Refused:
// missing values, values below 0 (or 0 if multiplicative), case numbers not above 0.
Result<LearningCurve> LearningCurveOf(std::span<const double> case_number, std::span<const double> values,
                                      const LearningCurveOptions& options = {});

}  // namespace afterscope
