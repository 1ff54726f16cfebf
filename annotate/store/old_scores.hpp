// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/edit.hpp"
#include "annotate/case/review.hpp"

namespace afterscope {

// Migration 2, from format 1.1 to 1.2 (FORMAT.md). Up to 1.1 a review's scores lay among the case's own
// fields, score/REVIEW/SHEET/ITEM (a number, or "na") with /remark and /moments after it, and so did what
// became of the goal agreed before, earlier_goal. From 1.2 on they are the review's. What makes no sense as
// one of these stays a field of the case.

// The review with what the case still holds of it; what the review says itself stands. The earlier goal goes
// to the signed reviews that are not the operator's own view, or where none is signed to one that is open.
// For reviews that may not be written: signed ones, and all where the case is only read.
Review WithOldScores(const CaseRecord& record, Review review);

// The same for good: what goes into the review's journal first, then what takes it out of the case. Empty
// where there is nothing to move. Done twice, as after an interruption, it does no harm.
struct ScoreMove {
  EditGroup review;
  EditGroup record;
  bool empty() const { return record.edits.empty(); }
};
ScoreMove MoveOldScores(const CaseRecord& record, const Review& review);

// Whether a group sets one of those fields: such edits belong to format 1.1, and undo passes them over.
bool SetsOldScores(const EditGroup& group);

}  // namespace afterscope
