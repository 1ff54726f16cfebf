// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/covers_of_case.hpp"

#include "annotate/case/review_access.hpp"
#include "annotate/store/document.hpp"
#include "annotate/store/review_folders.hpp"

#include <fmt/format.h>

#include <utility>
#include <vector>

namespace afterscope {

Result<Review> WithAllCovers(const std::string& case_folder, Review review, FileSystem& files) {
  std::vector<ReviewSummary> summaries{SummaryOf(review)};
  std::vector<Mark> covers;  // of others, each with its review's id before its own
  for (const ReviewId& id : ListReviews(files, case_folder)) {
    if (id == review.id) continue;
    Document document(files, DocumentKind::kReview, ReviewFolder(case_folder, id));
    if (const auto loaded = document.Load(true); !loaded.ok())
      return Error{ErrorCode::kUnreadable,
                   fmt::format("The review '{}' can't be read, and it may cover what nobody is to see: {}",
                               id.value, loaded.error().message)};
    summaries.push_back(SummaryOf(document.state().review));
    for (Mark& mark : document.state().review.marks)
      if (mark.kind == MarkKind::kCover) {
        mark.id.value = fmt::format("{}/{}", id.value, mark.id.value);
        covers.push_back(std::move(mark));
      }
  }
  for (const ReviewSummary& newest : NewestVersions(summaries, false))
    for (const Mark& cover : covers)
      if (cover.id.value.starts_with(newest.id.value + "/")) review.marks.push_back(cover);
  return review;
}

}  // namespace afterscope
