// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/proportion.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

Status CheckCount(std::int64_t count, std::int64_t of, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  if (of < 1) return NotComputable("The share", "there are no cases");
  if (count < 0 || count > of)
    return Error{ErrorCode::kBadCall, fmt::format("A count of {} in {} cases makes no sense.", count, of)};
  return {};
}

}  // namespace

Result<Estimate> WilsonProportion(std::int64_t count, std::int64_t of, double level) {
  AFTERSCOPE_TRY(CheckCount(count, of, level));
  const double n = static_cast<double>(of);
  const double share = static_cast<double>(count) / n;
  const double z = NormalFactor(level);
  const double middle = (share + z * z / (2 * n)) / (1 + z * z / n);
  const double half = z / (1 + z * z / n) * std::sqrt(share * (1 - share) / n + z * z / (4 * n * n));
  return Estimate{share, count == 0 ? 0.0 : std::max(0.0, middle - half),
                  count == of ? 1.0 : std::min(1.0, middle + half), level};
}

Result<Estimate> ClopperPearsonProportion(std::int64_t count, std::int64_t of, double level) {
  AFTERSCOPE_TRY(CheckCount(count, of, level));
  const double n = static_cast<double>(of);
  const double x = static_cast<double>(count);
  const double tail = (1 - level) / 2;
  return Estimate{x / n, count == 0 ? 0.0 : BetaQuantile(tail, x, n - x + 1),
                  count == of ? 1.0 : BetaQuantile(1 - tail, x + 1, n - x), level};
}

}  // namespace afterscope
