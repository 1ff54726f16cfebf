// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/change_rules.hpp"

#include "annotate/case/blinding.hpp"
#include "annotate/case/edit_checks.hpp"
#include "annotate/case/words.hpp"
#include "annotate/store/document.hpp"
#include "annotate/store/review_folders.hpp"

#include <fmt/format.h>

#include <optional>
#include <variant>

namespace afterscope {
namespace {

// What the program finds out of recordings is taken out.
CaseRecord WithoutFacts(CaseRecord record) {
  for (RecordingRef& recording : record.recordings) recording = {recording.path, {}, {}};
  return record;
}

}  // namespace

Status CheckOtherReviews(FileSystem& files, const std::string& case_folder, const ReviewId& own,
                         const CaseRecord& record, const EditGroup& group) {
  std::optional<std::size_t> count;
  for (const Edit& edit : group.edits)
    if (const auto* set = std::get_if<SetRecordings>(&edit)) count = set->recordings.size();
  if (!count || *count >= record.recordings.size()) return {};
  for (const ReviewId& id : ListReviews(files, case_folder)) {
    if (id == own) continue;  // asked when edits are applied
    Document other(files, DocumentKind::kReview, ReviewFolder(case_folder, id));
    if (other.Load(false).ok()) AFTERSCOPE_TRY(CheckRecordingsNeeded(other.state().review, *count));
  }
  return {};
}

Status CheckSaysWho(const Review& review, const std::string& who) {
  if (review.kind != ReviewKind::kFormal || review.reviewer_code.empty() || !who.empty()) return {};
  return Error{ErrorCode::kBadCall,
               fmt::format("Review '{}' is formal, and its history says who changed what: give your code "
                           "(--reviewer).",
                           review.id.value)};
}

Status CheckReviewChange(const Review& review, const EditGroup& group) {
  if (review.is_signed)
    return Error{ErrorCode::kBadCall,
                 fmt::format("Review '{}' is signed and can't be changed; changes are a new version.",
                             review.id.value)};
  for (const Edit& edit : group.edits) {
    const auto* set = std::get_if<SetReviewField>(&edit);
    const auto next = set && set->field == "blinding" ? FromWord<Blinding>(set->text) : std::nullopt;
    if (next) AFTERSCOPE_TRY(CheckBlindingChange(review, *next));
  }
  return {};
}

bool LeadsBack(const CaseRecord& now, const EditGroup& group, const CaseRecord& before) {
  CaseRecord after = now;
  Review unchanged;
  return ReapplyEdits(group, after, unchanged).ok() && WithoutFacts(after) == WithoutFacts(before);
}

}  // namespace afterscope
