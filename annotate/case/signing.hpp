// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/edit.hpp"
#include "metrics/base/result.hpp"

#include <string>

namespace afterscope {

// What is said about a review after it was signed (CaseSession::Sign). It lies in the case record, beside the
// sealed review: changes to be committed like any other, with undo.

// What the case keeps of a signed review; null where it is not signed. Valid while `record` is unchanged.
const SignedReview* FindSigned(const CaseRecord& record, const ReviewId& id);

// In the extra fields of a case made by handing one over: what OriginOf says of the review that it was made
// from.
inline constexpr char kHandedOver[] = "handed_over";
std::string OriginOf(const SignedReview& signed_review);

// Notes whether the operator was recognised in a blinded review. kBadCall where the review is not signed.
Result<EditGroup> NoteRecognition(const CaseRecord& record, const ReviewId& id, Recognition recognised);

// Adds an answer: the trainee's to a review of his case, or the mentor's to the trainee's own. kBadCall where
// the review is not signed, or the answer is empty.
Result<EditGroup> AnswerReview(const CaseRecord& record, const ReviewId& id, const ReviewAnswer& answer);

// Whether a group changes what only signing may change: a signature, or the seal that the case keeps.
bool TouchesSeals(const EditGroup& group, const CaseRecord& record);

}  // namespace afterscope
