// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// A review without what it holds, to choose from a list.
struct ReviewSummary {
  ReviewId id;
  std::string reviewer_code;
  ReviewKind kind = ReviewKind::kFormative;
  bool is_self = false;
  Blinding blinding = Blinding::kOpen;
  int version = 1;
  ReviewId version_of;  // the first version, itself where this is it
  bool is_signed = false;
  std::string signed_at;
  bool is_touched = false;  // it holds something
  friend bool operator==(const ReviewSummary&, const ReviewSummary&) = default;
};
ReviewSummary SummaryOf(const Review& review);

// Whether a review holds anything yet: a visit, moment, mark, trail, check, score or word.
bool IsTouched(const Review& review);

// Whether what `other` holds may be shown to someone who works in `own`. The operator's own review and
// another's of the same case, and two reviews of which one is formal, stay hidden from each other until both
// are signed (in any version); then only signed versions are shown. Versions of one review, and formative
// reviews of others, are not hidden. False for ids that are not among `all`.
//
// This keeps one reviewer's view from colouring another's. It is no protection against someone who may read
// the case folder and opens the files.
bool MayBeShown(const std::vector<ReviewSummary>& all, const ReviewId& other, const ReviewId& own);

// The reviews without those of which there is a newer version, in the order given. Where `only_signed`,
// unsigned ones do not count.
std::vector<ReviewSummary> NewestVersions(const std::vector<ReviewSummary>& all, bool only_signed);

// The review of a case that figures across cases are computed from: of that kind, never the operator's own
// view. A formal one only where it is signed, in its newest signed version; a formative one signed before
// unsigned; of several the one that stands last. Empty where the case has none of that kind.
std::optional<ReviewId> ReviewForFigures(const std::vector<ReviewSummary>& all, ReviewKind kind);

}  // namespace afterscope
