// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"
#include "app/desktop/fairly/review_choice.hpp"

#include <filesystem>

namespace afterscope {

bool App::IsBlindedFolder(const std::string& folder) const {
  const std::string& blinded = settings_.blinded_folder;
  return !blinded.empty() && (folder == blinded || folder.starts_with(blinded + "/"));
}

// The review that a case is opened with unless another is chosen.
ReviewChooser App::UsualReview(const std::string& folder) const {
  ReviewWish wish{settings_.reviewer_code, std::nullopt, std::nullopt};
  if (const std::string last = RememberedReview(settings_, folder); !last.empty()) wish.last = ReviewId{last};
  if (IsBlindedFolder(folder))
    wish.blinded = settings_.blinded_formal ? ReviewKind::kFormal : ReviewKind::kFormative;
  return ChooseByWish(std::move(wish));
}

std::vector<ShownShelfCase> App::ShelfAsShown() const {
  const bool nameless = view_->hidden || IsBlindedFolder(sheet_.cases.shelf_folder);
  return ShownShelf(sheet_.cases.shelf, nameless, settings_.reviewer_code);
}

bool App::DoFair(const std::string& action) {
  if (action == "blinded cases") {
    const std::string& shelf = sheet_.cases.shelf_folder;
    if (shelf.empty())
      Say("There is no list of cases; open a folder first.", false);
    else
      settings_.blinded_folder = IsBlindedFolder(shelf) ? std::string() : shelf;
    return true;
  }
  if (CasesState& cases = sheet_.cases;
      action == "review kind" && sheet_.kind == SheetKind::kCases && cases.blinded) {
    cases.blinded_formal = !cases.blinded_formal;
    return true;
  }
  if (action == "close case") {
    StartDesk();
    return true;
  }
  return fair_.Do(action);
}

// Once a blinded review is signed, the case is opened again without its covers, with its sound and names.
void App::FollowFair() {
  CasesState& cases = sheet_.cases;
  settings_.blinded_formal = cases.blinded_formal;
  cases.blinded = IsBlindedFolder(cases.shelf_folder);
  cases.shown = ShelfAsShown();
  if (view_->hidden && sheet_.kind == SheetKind::kSeries) {
    sheet_.kind = SheetKind::kSteps;
    Say("Series are not shown while a blinded review is open: other cases would tell whose it is.", false);
  }
  fair_.Follow({view_, clock_, &steps_.list(), &sheet_.findings.findings, &sheet_.findings.labels});
  if (view_->folder.empty() || std::exchange(was_hidden_, view_->hidden) == view_->hidden || view_->hidden)
    return;
  cases_.LookAgain();
  Reopen(ChooseReviewOf(SummaryOf(view_->review), settings_.reviewer_code));
}

// The open case with that review, where it is looked at now.
void App::Reopen(ReviewChooser choose) {
  const FrameRef at = player_.playhead();
  OpenCase(view_->folder, std::move(choose));
  opens_at_ = at;
}

}  // namespace afterscope
