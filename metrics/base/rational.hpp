// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <optional>

namespace afterscope {

// A fraction with a positive denominator, not necessarily reduced; a time base in seconds per tick, a pixel
// aspect (width / height of a pixel), or a frame rate.
struct Rational {
  std::int64_t num = 0;
  std::int64_t den = 1;

  double value() const { return static_cast<double>(num) / static_cast<double>(den); }
  bool valid() const { return num > 0 && den > 0; }
  // Equal as written: 1/2 and 2/4 differ. Compare value() for equal size.
  friend bool operator==(const Rational&, const Rational&) = default;
};

enum class Rounding {
  kDown,
  kNearest,
  kUp
};  // towards minus infinity; nearest, halves up; towards plus infinity

// ticks * from / to, rounded as told. Overflow-safe: empty if the result does not fit 64 bits or a base is
// not positive.
std::optional<std::int64_t> RescaleTicks(std::int64_t ticks, Rational from, Rational to, Rounding rounding);

}  // namespace afterscope
