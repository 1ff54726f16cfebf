// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/review_choice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

bool Has(const std::vector<ReviewSummary>& all, const ReviewId& id) {
  return std::any_of(all.begin(), all.end(), [&](const ReviewSummary& review) { return review.id == id; });
}

OpenCaseOptions Existing(const ReviewId& id, const std::string& code = {}) {
  OpenCaseOptions options;
  options.review = id;
  options.reviewer_code = code;
  return options;
}

// By the user's own code; the operator's own view is his.
OpenCaseOptions ExistingAs(const ReviewSummary& review, const std::string& code) {
  return Existing(review.id, review.is_self ? review.reviewer_code : code);
}

OpenCaseOptions Fresh(const std::vector<ReviewSummary>& all, const std::string& code, NewReview made) {
  OpenCaseOptions options = Existing(FreshReview(all), code);
  options.new_review = made;
  return options;
}

// The user's own blinded review; null where there is none.
const ReviewSummary* OwnBlinded(const std::vector<ReviewSummary>& all, const ReviewWish& wish) {
  const ReviewSummary* found = nullptr;
  for (const ReviewSummary& review : all) {
    const bool own = review.reviewer_code == wish.code || review.reviewer_code.empty();
    if (!own || review.is_self || review.blinding != Blinding::kBlinded || review.kind != *wish.blinded)
      continue;
    if (!found || found->is_signed || !review.is_signed) found = &review;
  }
  return found;
}

// The version begun last: what changes once it is signed goes there.
const ReviewSummary& LatestVersion(const std::vector<ReviewSummary>& all, const ReviewSummary& of) {
  const ReviewSummary* latest = &of;
  for (const ReviewSummary& review : all)
    if (review.version_of == of.version_of && review.version > latest->version) latest = &review;
  return *latest;
}

Result<std::vector<ReviewSummary>> SummariesIn(const std::string& folder) {
  OpenCaseOptions options;
  options.read_only = true;
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, options));
  return session->Summaries();
}

// Begins what the options say, where it is not there yet.
Result<OpenCaseOptions> Begun(const std::string& folder, const OpenCaseOptions& options) {
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, options));
  AFTERSCOPE_TRY(session->BeginReview());
  return options;
}

}  // namespace

ReviewId FreshReview(const std::vector<ReviewSummary>& all) {
  for (std::size_t number = all.size() + 1;; ++number)
    if (ReviewId id{fmt::format("r{}", number)}; !Has(all, id)) return id;
}

OpenCaseOptions ReviewToOpen(const std::vector<ReviewSummary>& all, const ReviewWish& wish) {
  if (wish.blinded) {
    if (const ReviewSummary* own = OwnBlinded(all, wish))
      return ExistingAs(LatestVersion(all, *own), wish.code);
    return Fresh(all, wish.code, {*wish.blinded, false, Blinding::kBlinded});
  }
  const auto last = std::find_if(all.begin(), all.end(),
                                 [&](const ReviewSummary& review) { return review.id == wish.last; });
  if (last != all.end()) return ExistingAs(*last, wish.code);
  OpenCaseOptions options;
  options.reviewer_code = wish.code;
  return options;
}

ReviewChooser ChooseByWish(ReviewWish wish) {
  return [wish = std::move(wish)](const std::string& folder) -> Result<OpenCaseOptions> {
    const auto all = SummariesIn(folder);
    if (!all.ok() && !wish.blinded) return all.error();
    const auto options = all.ok() ? ReviewToOpen(*all, wish) : OpenCaseOptions{};
    if (!wish.blinded || (all.ok() && Has(*all, *options.review))) return options;
    if (all.ok())
      if (auto begun = Begun(folder, options); begun.ok()) return begun;
    // The store's own sentence would name the folder.
    return Error{
        ErrorCode::kUnwritable,
        "This case was not opened: a blinded review of it can't be begun, it can't be read or written."};
  };
}

ReviewChooser ChooseReviewOf(const ReviewSummary& review, const std::string& code) {
  return
      [options = ExistingAs(review, code)](const std::string&) -> Result<OpenCaseOptions> { return options; };
}

ReviewChooser BeginReviewAs(std::string code, NewReview made) {
  return [code = std::move(code), made](const std::string& folder) -> Result<OpenCaseOptions> {
    AFTERSCOPE_ASSIGN(const std::vector<ReviewSummary> all, SummariesIn(folder));
    return Begun(folder, Fresh(all, code, made));
  };
}

ReviewChooser BeginVersionAfter(ReviewId id, std::string code) {
  return [id = std::move(id), code = std::move(code)](const std::string& folder) -> Result<OpenCaseOptions> {
    AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, Existing(id)));
    AFTERSCOPE_ASSIGN(const ReviewId next, session->BeginNextVersion());
    return Existing(next, session->review().is_self ? session->review().reviewer_code : code);
  };
}

}  // namespace afterscope
