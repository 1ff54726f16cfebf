// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/least_double.hpp"

#include <bit>
#include <cstdint>

namespace afterscope {
namespace {

// Doubles in their own order as unsigned integers, and back.
std::uint64_t Ordinal(double value) {
  const auto bits = std::bit_cast<std::uint64_t>(value + 0.0);  // -0 becomes 0
  return bits >> 63 ? ~bits : bits | (std::uint64_t{1} << 63);
}

double Value(std::uint64_t ordinal) {
  const bool negative = ordinal >> 63 == 0;
  return std::bit_cast<double>(negative ? ~ordinal : ordinal & ~(std::uint64_t{1} << 63));
}

}  // namespace

double LeastDouble(double low, double high, const std::function<bool(double)>& holds) {
  std::uint64_t from = Ordinal(low);
  std::uint64_t to = Ordinal(high);
  while (from < to) {
    const std::uint64_t middle = from + (to - from) / 2;
    if (holds(Value(middle)))
      to = middle;
    else
      from = middle + 1;
  }
  return Value(to);
}

}  // namespace afterscope
