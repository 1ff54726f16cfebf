// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "metrics/base/result.hpp"
#include "metrics/picture/covers.hpp"

#include <optional>
#include <string_view>
#include <vector>

namespace afterscope {

// A cover as a mark of the kind kCover keeps it: two opposite corners, the field `shape`, and the field
// `until`, "RECORDING:TICKS", the boundary before which it ends; it begins at the mark's own frame and may
// reach into later recordings. Without `until` (or with one that can't be read) it holds for all of the
// recording that its own frame lies in: rather too much is hidden than too little.

CoverShape ShapeOfCover(const Mark& cover);
std::string_view WordOf(CoverShape shape);  // as the field has it: "box", "ellipse", "outside"
void SetShape(Mark& cover, CoverShape shape);

// Where it can be taken hold of: the two corners that it keeps, the other two, and in its middle, unless it
// hides all but that. A cover without two corners: its points.
std::vector<PointPx> GripsOfCover(const Mark& cover);
// Moves one of these: a corner takes its two edges along, the middle the whole cover.
void MoveGripOfCover(Mark& cover, std::size_t grip, PointPx to);

// Where it begins and ends; empty: all of its recording.
std::optional<HalfOpen<FrameRef>> RangeOfCover(const Mark& cover);
void SetRange(Mark& cover, const std::optional<HalfOpen<FrameRef>>& range);
// Whether it hides anything of that frame.
bool CoverHolds(const Mark& cover, FrameRef at);
// kBadCall where there is an `until` that is no boundary after the mark's own frame.
Status CheckCover(const Mark& cover);

// What of a recording's pictures is hidden at any time, each area with the frames that it holds for.
std::vector<CoverArea> CoversOf(const Review& review, int recording);

}  // namespace afterscope
