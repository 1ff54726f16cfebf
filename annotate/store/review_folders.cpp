// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/review_folders.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

bool IsOpenTo(const OpenCaseOptions& options, const Review& review) {
  return review.is_self == options.new_review.is_self &&
         (options.reviewer_code.empty() || review.reviewer_code.empty() ||
          review.reviewer_code == options.reviewer_code);
}

}  // namespace

std::string ReviewFolder(const std::string& case_folder, const ReviewId& id) {
  return fmt::format("{}/reviews/{}", case_folder, id.value);
}

std::vector<ReviewId> ListReviews(FileSystem& files, const std::string& case_folder) {
  std::vector<ReviewId> reviews;
  const auto names = files.List(case_folder + "/reviews");
  if (!names.ok()) return reviews;
  for (const std::string& name : *names)
    if (IsValidIdText(name) &&
        Document::Exists(files, DocumentKind::kReview, ReviewFolder(case_folder, {name})))
      reviews.push_back({name});
  return reviews;
}

std::vector<Review> MarkedBesides(const std::string& case_folder, const ReviewId& id, FileSystem& files) {
  std::vector<Review> marked;
  for (const ReviewId& other : ListReviews(files, case_folder)) {
    if (other == id) continue;
    Document document(files, DocumentKind::kReview, ReviewFolder(case_folder, other));
    if (!document.Load(true).ok()) continue;  // told by whoever opens it
    Review& review = document.state().review;
    if (!review.marks.empty() || !review.trails.empty()) marked.push_back(std::move(review));
  }
  return marked;
}

std::vector<const Review*> PointersTo(const std::vector<Review>& reviews) {
  std::vector<const Review*> pointers;
  for (const Review& review : reviews) pointers.push_back(&review);
  return pointers;
}

ChosenReview ChooseReview(FileSystem& files, const std::string& case_folder, const OpenCaseOptions& options,
                          bool being_written) {
  const std::vector<ReviewId> reviews = ListReviews(files, case_folder);
  ChosenReview best;
  std::pair<bool, std::string> best_rank;
  std::optional<ReviewId> unreadable;
  for (const ReviewId& id : reviews) {
    Document document(files, DocumentKind::kReview, ReviewFolder(case_folder, id));
    const auto found = document.Load(being_written);
    if (!found.ok()) {
      unreadable = id;
      continue;
    }
    const std::pair rank{!document.state().review.is_signed, document.begun_at()};
    if (!IsOpenTo(options, document.state().review) || (best.document && rank < best_rank)) continue;
    best.id = id;
    best.document.emplace(std::move(document));
    best.found = *found;
    best_rank = rank;
  }
  if (best.document) return best;
  // A single one that can't be read is told rather than passed over.
  if (unreadable && reviews.size() == 1) return {*unreadable, std::nullopt, {}};
  for (std::size_t number = reviews.size() + 1;; ++number) {
    const ReviewId fresh{fmt::format("r{}", number)};
    if (std::find(reviews.begin(), reviews.end(), fresh) == reviews.end()) return {fresh, std::nullopt, {}};
  }
}

ReviewId FreshReviewId(const std::vector<ReviewId>& taken, std::string wanted) {
  while (std::find(taken.begin(), taken.end(), ReviewId{wanted}) != taken.end()) wanted += "b";
  return {std::move(wanted)};
}

}  // namespace afterscope
