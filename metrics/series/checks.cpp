// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace afterscope {
namespace {

constexpr double kLargest = 1e150;  // its square is still finite; NaN is not below it

}  // namespace

Error NotComputable(std::string_view measure, std::string_view reason) {
  return {ErrorCode::kNotComputable, fmt::format("{} cannot be computed: {}.", measure, reason)};
}

Status CheckValues(std::span<const double> values, std::size_t fewest, std::string_view measure) {
  if (values.size() < fewest)
    return Error{
        ErrorCode::kNotComputable,
        fmt::format("{} cannot be computed from {} value{}: at least {} {} needed.", measure, values.size(),
                    values.size() == 1 ? "" : "s", fewest, fewest == 1 ? "is" : "are")};
  if (!std::all_of(values.begin(), values.end(), [](double v) { return std::fabs(v) < kLargest; }))
    return NotComputable(measure, "a value is missing or not a finite number");
  return {};
}

Status CheckPairs(std::span<const double> x, std::span<const double> y, std::size_t fewest,
                  std::string_view measure) {
  if (x.size() != y.size())
    return NotComputable(measure, fmt::format("{} values do not pair with {}", x.size(), y.size()));
  AFTERSCOPE_TRY(CheckValues(x, fewest, measure));
  return CheckValues(y, fewest, measure);
}

Status CheckLevel(double level) {
  if (level > 0 && level < 1) return {};
  return Error{ErrorCode::kBadCall,
               fmt::format("A level of {} makes no sense: it lies between 0 and 1.", level)};
}

bool AllEqual(std::span<const double> values) {
  return std::adjacent_find(values.begin(), values.end(), std::not_equal_to<>()) == values.end();
}

}  // namespace afterscope
