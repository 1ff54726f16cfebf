// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/shown_shelf.hpp"

#include "annotate/case/blinding.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

// Another folder is shuffled in another way; the same one always in the same (FNV-1a, 64 bits).
std::uint64_t SeedOf(const std::vector<ShelfCase>& shelf) {
  std::uint64_t seed = 14695981039346656037ULL;
  for (const ShelfCase& entry : shelf)
    for (const char c : entry.folder) seed = (seed ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return seed;
}

}  // namespace

bool IsBlindFor(const ShelfCase& entry, const std::string& code) {
  return std::any_of(entry.reviews.begin(), entry.reviews.end(), [&](const ReviewSummary& review) {
    const bool own = code.empty() || review.reviewer_code.empty() || review.reviewer_code == code;
    return own && review.blinding == Blinding::kBlinded && !review.is_signed;
  });
}

std::vector<ShownShelfCase> ShownShelf(const std::vector<ShelfCase>& shelf, bool all_nameless,
                                       const std::string& code) {
  std::vector<ShownShelfCase> shown;
  if (!all_nameless)
    for (std::size_t i = 0; i < shelf.size(); ++i)
      if (!IsBlindFor(shelf[i], code))
        shown.push_back({i, shelf[i].code, shelf[i].date, shelf[i].who, false});
  const std::vector<std::size_t> order = ShuffledOrder(shelf.size(), SeedOf(shelf));
  for (std::size_t number = 0; number < order.size(); ++number) {
    const std::size_t place = order[number];
    if (all_nameless || IsBlindFor(shelf[place], code))
      shown.push_back({place, fmt::format("Case {}", number + 1), "", "", true});
  }
  return shown;
}

}  // namespace afterscope
