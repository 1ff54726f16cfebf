// SPDX-License-Identifier: Apache-2.0
#include "app/common/review_options.hpp"

#include "annotate/case/words.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace afterscope {

void BindReviewOptions(CLI::App& sub, ReviewOptions& options) {
  sub.add_option("--review", options.review, "id of the review; made if it is new");
  sub.add_option("--reviewer", options.reviewer,
                 "code of the reviewer: his review is opened, or made if he has none");
  sub.add_option("--kind", options.kind, "of a new review: formative (default) or formal");
  sub.add_flag("--self", options.self, "the operator's own review of his case");
  sub.add_flag(
      "--blinded", options.blinded,
      "a new review (--review with an id of its own) is made without being shown whose case it is, until it "
      "is signed");
}

Result<OpenCaseOptions> OpenOptionsFrom(const ReviewOptions& options) {
  OpenCaseOptions open;
  if (!options.review.empty()) open.review = ReviewId{options.review};
  open.reviewer_code = options.reviewer;
  open.new_review.is_self = options.self;
  if (options.blinded) open.new_review.blinding = Blinding::kBlinded;
  if (options.kind.empty()) return open;
  const auto kind = FromWord<ReviewKind>(options.kind);
  if (!kind)
    return Error{ErrorCode::kBadCall,
                 fmt::format("Can't read --kind '{}': give formative or formal.", options.kind)};
  open.new_review.kind = *kind;
  return open;
}

}  // namespace afterscope
