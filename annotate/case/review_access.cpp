// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/review_access.hpp"

#include <algorithm>

namespace afterscope {
namespace {

const ReviewSummary* Find(const std::vector<ReviewSummary>& all, const ReviewId& id) {
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const ReviewSummary& review) { return review.id == id; });
  return found == all.end() ? nullptr : &*found;
}

bool HasSignedVersion(const std::vector<ReviewSummary>& all, const ReviewId& first) {
  return std::any_of(all.begin(), all.end(), [&](const ReviewSummary& review) {
    return review.version_of == first && review.is_signed;
  });
}

}  // namespace

ReviewSummary SummaryOf(const Review& review) {
  return {review.id,
          review.reviewer_code,
          review.kind,
          review.is_self,
          review.blinding,
          review.version,
          review.version_of.empty() ? review.id : review.version_of,
          review.is_signed,
          review.signature.at,
          IsTouched(review)};
}

bool IsTouched(const Review& review) {
  return !review.visits.empty() || !review.moments.empty() || !review.marks.empty() ||
         !review.trails.empty() || !review.captions.empty() || !review.checks.empty() ||
         !review.scores.empty() || review.assessment != Assessment{};
}

bool MayBeShown(const std::vector<ReviewSummary>& all, const ReviewId& other, const ReviewId& own) {
  const ReviewSummary* theirs = Find(all, other);
  const ReviewSummary* ours = Find(all, own);
  if (!theirs || !ours) return false;
  if (theirs->version_of == ours->version_of) return true;
  const bool hidden = theirs->is_self != ours->is_self || theirs->kind == ReviewKind::kFormal ||
                      ours->kind == ReviewKind::kFormal;
  return !hidden || (theirs->is_signed && HasSignedVersion(all, ours->version_of));
}

std::vector<ReviewSummary> NewestVersions(const std::vector<ReviewSummary>& all, bool only_signed) {
  std::vector<ReviewSummary> newest;
  for (const ReviewSummary& review : all) {
    if (only_signed && !review.is_signed) continue;
    const bool replaced = std::any_of(all.begin(), all.end(), [&](const ReviewSummary& other) {
      return other.version_of == review.version_of && other.version > review.version &&
             (other.is_signed || !only_signed);
    });
    if (!replaced) newest.push_back(review);
  }
  return newest;
}

std::optional<ReviewId> ReviewForFigures(const std::vector<ReviewSummary>& all, ReviewKind kind) {
  std::optional<ReviewId> chosen;
  const auto choose = [&](bool only_signed) {
    for (const ReviewSummary& review : NewestVersions(all, only_signed))
      if (review.kind == kind && !review.is_self) chosen = review.id;
  };
  choose(true);
  if (!chosen && kind == ReviewKind::kFormative) choose(false);
  return chosen;
}

}  // namespace afterscope
