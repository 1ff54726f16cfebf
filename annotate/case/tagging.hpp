// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/edit.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/result.hpp"

#include <functional>
#include <string>

namespace afterscope {

// What one key or one drag does to the steps, as a group of edits to commit. Nothing here changes the review.
// Each says in one sentence why it can't be done.

using VisitIdSource = std::function<VisitId()>;  // gives ids that are not in use, a new one each time

// Starts a step: ends the visit of the lane that runs at `at`. Pressed inside a visit that has an end, the
// new step takes the rest of it; at its very first frame, the visit gets the new name. While the supervisor
// has the instruments, the new visit is the supervisor's too.
Result<EditGroup> StartStep(const Review& review, const std::string& step, FrameRef at,
                            const VisitIdSource& new_id, int lane = 0);
// Ends the visit that runs at `at`.
Result<EditGroup> EndStep(const Review& review, FrameRef at, int lane = 0);

// The supervisor takes the instruments at `at`: the visits that run then are split, and from there on every
// visit is the supervisor's until one that was already taken over. Return gives the instruments back: from
// there on, until the next visit that is not the supervisor's, every visit is the case's operator's again.
Result<EditGroup> TakeOver(const Review& review, const CaseRecord& record, FrameRef at,
                           const VisitIdSource& new_id);
Result<EditGroup> ReturnInstruments(const Review& review, FrameRef at, const VisitIdSource& new_id);

enum class VisitEdge { kStart, kEnd };

// Moves an edge of a visit. A neighbour that shares the edge moves with it.
Result<EditGroup> MoveBoundary(const Review& review, const VisitId& visit, VisitEdge edge, FrameRef to);
// Makes two visits of one, the second starting at `at`.
Result<EditGroup> SplitVisit(const Review& review, const VisitId& visit, FrameRef at, const VisitId& second);
// The visit lasts to the end of the next one of its lane, which goes.
Result<EditGroup> JoinWithNext(const Review& review, const VisitId& visit);
Result<EditGroup> RenameStep(const Review& review, const VisitId& visit, const std::string& step);
// Removes a mark and the scales made from it.
Result<EditGroup> RemoveMark(const Review& review, const MarkId& mark);

}  // namespace afterscope
