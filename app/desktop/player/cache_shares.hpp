// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace afterscope {

// How the bytes that decoded pictures may take are shared out. Pure but for what the machine has.

// Of the open case, and of all cases that are compared with it; together what the machine can afford
// (DefaultCacheBytes).
struct CacheBudget {
  std::int64_t case_bytes = 0;
  std::int64_t compared_bytes = 0;
};
CacheBudget BudgetFor(bool compares);

// What each of `count` recordings gets of `bytes`, in their order: the one in sight half, the ones before and
// after it a quarter together, since they are read ahead at its ends, all others a quarter together; what
// nobody is there for goes to the one in sight. Never more than `bytes` in all. in_sight >= count: even
// shares.
std::vector<std::int64_t> CacheShares(std::int64_t bytes, std::size_t count, std::size_t in_sight);

}  // namespace afterscope
