// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "annotate/case/review_access.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What the sheet says of the reviews of a case. Pure.

enum class ReviewDoor {
  kThis,     // the one that is open
  kOpen,     // may be opened, and its differences shown
  kVersion,  // another version of this one
  kHidden    // from this one, until both are signed (or until this one, which is blinded, is)
};

struct ReviewLine {
  ReviewId id;
  std::string who;   // "R2", "the operator's own view", "a reviewer without a code"
  std::string what;  // "formative, version 2, signed 2026-03-04"
  ReviewDoor door = ReviewDoor::kHidden;
};

// In the order given. `names_hidden`: the open review is blinded, so neither codes nor dates of others are
// said and none may be opened.
std::vector<ReviewLine> ReviewLines(std::vector<ReviewSummary> all, const Review& open, bool names_hidden);

// What the open review is: "Formal review by R2, blinded until it is signed".
std::string OpenReviewWords(const Review& review);

}  // namespace afterscope
