// SPDX-License-Identifier: Apache-2.0
#include "metrics/base/rational.hpp"

#include <limits>

namespace afterscope {
namespace {

__extension__ using Wide = __int128;

// The denominator is above 0: a fraction that was reduced keeps one.
Wide FloorDivide(Wide numerator, Wide denominator) {
  const Wide quotient = numerator / denominator;  // NOLINT(clang-analyzer-core.DivideZero): it is above 0
  return (numerator % denominator != 0 && (numerator < 0) != (denominator < 0)) ? quotient - 1 : quotient;
}

// Of two positive numbers.
Wide GreatestCommonDivisor(Wide a, Wide b) {
  while (b != 0) {
    const Wide rest = a % b;
    a = b;
    b = rest;
  }
  return a;
}

}  // namespace

std::optional<std::int64_t> RescaleTicks(std::int64_t ticks, Rational from, Rational to, Rounding rounding) {
  if (!from.valid() || !to.valid()) return std::nullopt;
  // Products of 63 bit numbers fit; a product of three may not, so the fraction is reduced first and then
  // checked.
  Wide scale_num = Wide{from.num} * to.den;
  Wide scale_den = Wide{from.den} * to.num;
  const Wide divisor = GreatestCommonDivisor(scale_num, scale_den);
  scale_num /= divisor;
  scale_den /= divisor;
  constexpr Wide kMost = std::numeric_limits<std::int64_t>::max();
  constexpr Wide kLeast = std::numeric_limits<std::int64_t>::min();
  if (scale_num > kMost || scale_den > kMost) return std::nullopt;
  const Wide product = Wide{ticks} * scale_num;
  Wide result = 0;
  switch (rounding) {
    case Rounding::kDown:
      result = FloorDivide(product, scale_den);
      break;
    case Rounding::kUp:
      result = -FloorDivide(-product, scale_den);
      break;
    case Rounding::kNearest: {
      // floor(x + 1/2) without doubling the product.
      const Wide floor = FloorDivide(product, scale_den);
      const Wide rest = product - floor * scale_den;
      result = floor + (rest * 2 >= scale_den ? 1 : 0);
      break;
    }
  }
  if (result > kMost || result < kLeast) return std::nullopt;
  return static_cast<std::int64_t>(result);
}

}  // namespace afterscope
