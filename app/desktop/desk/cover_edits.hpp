// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/cover.hpp"
#include "annotate/case/edit.hpp"
#include "app/desktop/desk/mark_edits.hpp"
#include "metrics/base/result.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// What keys do to covers, as groups of edits to commit. Pure.

// The cover that is meant: the chosen one; else of those that hold for that frame the one that begins last;
// else the one that begins last of all. Empty: there is none.
std::optional<MarkId> CoverMeant(const Review& review, const std::optional<MarkId>& chosen, FrameRef at);

// It begins with that frame, or ends before that boundary. Where its other end would then not lie beyond, or
// there was none, the other end is that of the recording. `recordings`: as placed on the case clock.
Result<EditGroup> CoverFrom(const Review& review, const std::vector<RecordingRef>& recordings,
                            const MarkId& cover, FrameRef first);
Result<EditGroup> CoverUntil(const Review& review, const std::vector<RecordingRef>& recordings,
                             const MarkId& cover, FrameRef end);
// It holds for its whole recording again.
Result<EditGroup> CoverThroughout(const Review& review, const MarkId& cover);
// Box, ellipse, all but the ellipse, box.
Result<EditGroup> NextCoverShape(const Review& review, const MarkId& cover);

// A new one of the whole recording that leaves the eye alone in sight: everything but the limbus that is
// marked on that frame with some of the white round it.
Result<EditGroup> CoverAllButEye(const CaseRecord& record, const Review& review, FrameRef at,
                                 const MarkIdSource& new_id);

}  // namespace afterscope
