// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// What a difference between two values means.
enum class AlphaMetric { kNominal, kOrdinal, kInterval, kRatio };

struct KrippendorffAlpha {
  std::size_t units = 0;           // cases with at least two values
  std::size_t values = 0;          // in those
  double alpha = 0;                // 1 - observed / expected disagreement; at most 1, may be below 0
  std::optional<Estimate> limits;  // by leaving out one case at a time; none where that leaves nothing
  std::string method;
  std::vector<std::string> cautions;
};

// Agreement among any number of reviewers with values missing where a reviewer has not given any. `values`: a
// row of cases for each reviewer. Cases with fewer than two values drop out. Refused if none is left, if all
// values left are equal, and for kRatio if one is below 0. Krippendorff 2004, Content Analysis (2nd ed.),
// chapter 11.
Result<KrippendorffAlpha> KrippendorffAlphaOf(std::span<const std::optional<double>> values,
                                              std::size_t cases, AlphaMetric metric, double level = 0.95);

}  // namespace afterscope
