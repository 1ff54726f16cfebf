// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace afterscope {

// Every change is a value. Put adds the item, or replaces the one with the same id; Remove takes it away.
template <class Item>
struct Put {
  Item item;
};
template <class ItemId>
struct Remove {
  ItemId id;
};

// Sets points of a trail: each replaces the one at its frame; then `removed` frames lose theirs.
struct SetTrailPoints {
  TrailId trail;
  std::vector<TrailPoint> points;
  std::vector<FrameRef> removed;
};
struct SetCheck {
  std::string key;
  CheckState state = CheckState::kNotReviewed;
};
struct SetAssessment {
  Assessment assessment;
};
// Sets a field of the case record by its name in case.json ("eye", "operator_code" ...; "extra.NAME" for
// others) from text; an empty text unsets it.
struct SetCaseField {
  std::string field;
  std::string text;
};
struct SetReviewField {  // "reviewer_code", "kind", "self_review", "blinding"
  std::string field;
  std::string text;
};

// Replaces the list of recordings: a file added, moved, its frame table verified, its full digest known.
struct SetRecordings {
  std::vector<RecordingRef> recordings;
};

// Signs a review, or (empty) takes that back. Made by CaseSession::Sign alone.
struct SetSignature {
  std::optional<Signature> signature;
};

using Edit = std::variant<Put<StepVisit>, Remove<VisitId>, Put<Moment>, Remove<MomentId>, Put<Mark>,
                          Remove<MarkId>, Put<Trail>, Remove<TrailId>, SetTrailPoints, Put<ScaleDef>,
                          Remove<ScaleId>, Put<Caption>, Remove<CaptionId>, Put<Draft>, Remove<DraftId>,
                          Put<Score>, Remove<ScoreId>, SetCheck, SetAssessment, SetCaseField, SetReviewField,
                          SetRecordings, Put<SignedReview>, Remove<ReviewId>, SetSignature>;

// Edits that belong together: acknowledged, undone and redone as one. `label` says what the user did ("Start
// step").
struct EditGroup {
  std::string label;
  std::vector<Edit> edits;
};

// Whether an edit changes the case record (the others change the review).
bool IsCaseEdit(const Edit& edit);

// Applies a group, whole or not at all, and returns the group that takes it back. Refuses with one sentence
// what would break the record: overlapping visits of a lane, an end before a start, a boundary outside its
// recording, an unknown id, a value out of any sense (NaN, a point farther than 100 pictures away). A
// recording whose frame table is not verified yet may prove up to 5 s longer than it said; boundaries there
// are accepted.
Result<EditGroup> ApplyEdits(const EditGroup& group, CaseRecord& record, Review& review);

// The same for edits that were accepted before (undo, redo, a journal read again): does not ask whether
// boundaries lie in the recordings, which may have become known better since.
Result<EditGroup> ReapplyEdits(const EditGroup& group, CaseRecord& record, Review& review);

}  // namespace afterscope
