// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/signing.hpp"

#include "annotate/case/text.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

Result<SignedReview> Signed(const CaseRecord& record, const ReviewId& id) {
  if (const SignedReview* found = FindSigned(record, id)) return *found;
  return Error{ErrorCode::kBadCall,
               fmt::format("Review '{}' is not signed yet; it can be answered once it is.", id.value)};
}

}  // namespace

const SignedReview* FindSigned(const CaseRecord& record, const ReviewId& id) {
  const auto found = std::find_if(record.signed_reviews.begin(), record.signed_reviews.end(),
                                  [&](const SignedReview& review) { return review.id == id; });
  return found == record.signed_reviews.end() ? nullptr : &*found;
}

std::string OriginOf(const SignedReview& signed_review) {
  return fmt::format("{} {}", signed_review.id.value, signed_review.seal);
}

Result<EditGroup> NoteRecognition(const CaseRecord& record, const ReviewId& id, Recognition recognised) {
  AFTERSCOPE_ASSIGN(SignedReview review, Signed(record, id));
  review.recognised = recognised;
  return EditGroup{"Note whether the operator was recognised", {Put<SignedReview>{std::move(review)}}};
}

Result<EditGroup> AnswerReview(const CaseRecord& record, const ReviewId& id, const ReviewAnswer& answer) {
  AFTERSCOPE_ASSIGN(SignedReview review, Signed(record, id));
  if (Trimmed(answer.text).empty()) return Error{ErrorCode::kBadCall, "An answer to a review needs words."};
  review.answers.push_back(answer);
  return EditGroup{"Answer the review", {Put<SignedReview>{std::move(review)}}};
}

bool TouchesSeals(const EditGroup& group, const CaseRecord& record) {
  return std::any_of(group.edits.begin(), group.edits.end(), [&](const Edit& edit) {
    if (std::holds_alternative<SetSignature>(edit) || std::holds_alternative<Remove<ReviewId>>(edit))
      return true;
    const auto* put = std::get_if<Put<SignedReview>>(&edit);
    if (!put) return false;
    const SignedReview* kept = FindSigned(record, put->item.id);
    return !kept || kept->seal != put->item.seal;
  });
}

}  // namespace afterscope
