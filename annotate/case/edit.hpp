// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/result.hpp"

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
// Sets a field of the case record by its name in case.json ("eye", "operator_code" ...; "extra.NAME" for others) from
// text; an empty text unsets it.
struct SetCaseField {
  std::string field;
  std::string text;
};
struct SetReviewField {  // "reviewer_code", "kind"
  std::string field;
  std::string text;
};

using Edit = std::variant<Put<StepVisit>, Remove<VisitId>, Put<Moment>, Remove<MomentId>, Put<Mark>, Remove<MarkId>,
                          Put<Trail>, Remove<TrailId>, SetTrailPoints, Put<ScaleDef>, Remove<ScaleId>, SetCheck,
                          SetAssessment, SetCaseField, SetReviewField>;

// Edits that belong together: acknowledged, undone and redone as one. `label` says what the user did ("Start step").
struct EditGroup {
  std::string label;
  std::vector<Edit> edits;
};

// Applies a group, whole or not at all, and returns the group that takes it back. Refuses with one sentence what would
// break the record: overlapping visits of a lane, an end before a start, a boundary outside its recording, an unknown
// id, a value out of any sense (NaN, a point farther than 100 pictures away).
Result<EditGroup> ApplyEdits(const EditGroup& group, CaseRecord& record, Review& review);

}  // namespace afterscope
