// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/cache_shares.hpp"

#include "annotate/media/picture_cache.hpp"

#include <algorithm>
#include <numeric>

namespace afterscope {

CacheBudget BudgetFor(bool compares) {
  const std::int64_t all = DefaultCacheBytes();
  if (!compares) return {all, 0};
  const std::int64_t aside = all / 8;  // the case waits behind the comparison
  return {aside, all - aside};
}

std::vector<std::int64_t> CacheShares(std::int64_t bytes, std::size_t count, std::size_t in_sight) {
  if (in_sight >= count)
    return std::vector<std::int64_t>(count,
                                     bytes / static_cast<std::int64_t>(std::max<std::size_t>(1, count)));
  const auto is_neighbour = [&](std::size_t i) { return i + 1 == in_sight || i == in_sight + 1; };
  std::int64_t neighbours = 0;
  for (std::size_t i = 0; i < count; ++i) neighbours += is_neighbour(i) ? 1 : 0;
  const std::int64_t others = static_cast<std::int64_t>(count) - 1 - neighbours;
  std::vector<std::int64_t> shares(count, 0);
  for (std::size_t i = 0; i < count; ++i)
    if (i != in_sight) shares[i] = bytes / 4 / (is_neighbour(i) ? neighbours : others);
  shares[in_sight] = bytes - std::accumulate(shares.begin(), shares.end(), std::int64_t{0});
  return shares;
}

}  // namespace afterscope
