// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstdint>

namespace afterscope {

// The share count / of with its limits. of >= 1, 0 <= count <= of. They stay within 0 and 1, and a count of 0
// does not give limits of no width.

// Wilson 1927, J Am Stat Assoc 22:209: on average at the level. What reports show.
Result<Estimate> WilsonProportion(std::int64_t count, std::int64_t of, double level = 0.95);

// Clopper & Pearson 1934, Biometrika 26:404: never below the level, so wider.
Result<Estimate> ClopperPearsonProportion(std::int64_t count, std::int64_t of, double level = 0.95);

}  // namespace afterscope
