// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// A value with its limits: [low, high] contains the truth with probability `level`.
struct Estimate {
  double value = 0;
  double low = 0;
  double high = 0;
  double level = 0.95;  // 1: a fact about what was marked or followed, which has no limits
  static Estimate Fact(double value) { return {value, value, value, 1}; }
  bool HasLimits() const { return level < 1; }
  friend bool operator==(const Estimate&, const Estimate&) = default;
};

// What a measure returns: an estimate, or none with the reason in `cautions`; the unit it is in ("mm", "px",
// "s", "1", "deg", "clock hour", "mm2", "count", "mm/s" ...); in one sentence how it was computed; what to be
// careful about.
struct Measured {
  std::optional<Estimate> estimate;
  std::string unit;
  std::string method;
  std::vector<std::string> cautions;
};

inline Measured NotMeasured(std::string unit, std::string method, std::string reason) {
  return {std::nullopt, std::move(unit), std::move(method), {std::move(reason)}};
}

}  // namespace afterscope
