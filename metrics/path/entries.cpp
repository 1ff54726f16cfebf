// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/entries.hpp"

#include "metrics/base/count_limits.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr double kOverlooked = 0.05, kAdded = 0.05;

}  // namespace

Estimate CountEntries(int entries, int unseen) {
  if (entries <= 0) return {0, 0, static_cast<double>(unseen)};
  const int added = MostByChance(kAdded * (entries - 1)),
            overlooked = MostByChance(kOverlooked / (1 - kOverlooked) * entries);
  return {static_cast<double>(entries), static_cast<double>(std::max(1, entries - added)),
          static_cast<double>(entries + overlooked + unseen)};
}

}  // namespace afterscope
