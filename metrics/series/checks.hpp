// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string_view>

namespace afterscope {

// What every measure of a series asks of its input. A refusal (ErrorCode::kNotComputable) names the measure,
// e.g. "The trend cannot be computed from 2 values: at least 3 are needed." The reasons stand in the place of
// the value, so they are written for the reader of a report.

// At least `fewest` values, all of them finite (and below 1e150 in size). A missing value must be left out by
// the caller, who knows what it means.
Status CheckValues(std::span<const double> values, std::size_t fewest, std::string_view measure);

// The same, and as many `x` as `y`, both finite.
Status CheckPairs(std::span<const double> x, std::span<const double> y, std::size_t fewest,
                  std::string_view measure);

// A level of confidence strictly between 0 and 1.
Status CheckLevel(double level);

// A refusal in the same words: "MEASURE cannot be computed: REASON." The measure is written with its article.
Error NotComputable(std::string_view measure, std::string_view reason);

bool AllEqual(std::span<const double> values);

}  // namespace afterscope
