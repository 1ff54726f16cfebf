// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/desk/case_desk.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Which of a case's reviews the window opens.

struct ReviewWish {
  std::string code;                   // the user's own; empty: not given
  std::optional<ReviewId> last;       // the one that was chosen here before
  std::optional<ReviewKind> blinded;  // to be reviewed without being shown whose it is; of that kind
};

// Pure. Without a wish for blinding the one chosen before, where it is there still; else what the code leads
// to (OpenCaseOptions). With it the user's own blinded review, one that is not signed before one that is (of
// that the version begun last), else a new one.
OpenCaseOptions ReviewToOpen(const std::vector<ReviewSummary>& all, const ReviewWish& wish);

// "r4", or what comes after it where that is taken.
ReviewId FreshReview(const std::vector<ReviewSummary>& all);

// For CaseDesk::Open; each of them blocks when it is called. `code`: the user's own, empty: not given.
ReviewChooser ChooseByWish(ReviewWish wish);
ReviewChooser ChooseReviewOf(const ReviewSummary& review, const std::string& code);
// Begins a review of that kind at once, so that it is there before anything is tagged.
ReviewChooser BeginReviewAs(std::string code, NewReview made);
// Begins the next version of a signed review, or finds the one that was begun.
ReviewChooser BeginVersionAfter(ReviewId id, std::string code);

}  // namespace afterscope
