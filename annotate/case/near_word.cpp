// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/near_word.hpp"

#include <algorithm>
#include <cstddef>
#include <utility>

namespace afterscope {
namespace {

constexpr std::size_t kMostSlips = 3;

std::size_t Gap(std::size_t a, std::size_t b) { return a > b ? a - b : b - a; }

// How many slips lead from one to the other (Damerau 1964, Commun ACM 7:171; no part is edited twice).
std::size_t SlipsBetween(const std::string& a, const std::string& b) {
  std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), now(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      now[j] = std::min({last[j] + 1, now[j - 1] + 1, last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        now[j] = std::min(now[j], before[j - 2] + 1);
    }
    std::swap(before, last);
    std::swap(last, now);
  }
  return last[b.size()];
}

}  // namespace

std::string NearWord(const std::string& word, const std::vector<std::string>& words) {
  std::string nearest;
  std::size_t least = std::min(kMostSlips, word.size() / 3) + 1;
  for (const std::string& other : words) {
    if (other == word) return {};
    if (Gap(word.size(), other.size()) >= least) continue;
    const std::size_t slips = SlipsBetween(word, other);
    if (slips >= least) continue;
    least = slips;
    nearest = other;
  }
  return nearest;
}

}  // namespace afterscope
