// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/case/incision.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/result.hpp"
#include "metrics/scale/scale.hpp"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What clicks on the picture do to marks and trails, as groups of edits to commit. Nothing here changes the
// review.

using MarkIdSource = std::function<MarkId()>;
using TrailIdSource = std::function<TrailId()>;

// Where a new point belongs among those of a closed outline: between two neighbours if it lies beside the
// line between them, else after the last (which is also before the first).
std::size_t PlaceOnOutline(const std::vector<PointPx>& outline, PointPx point);

// Adds a point to the outline of that kind on that frame; makes the outline if there is none.
Result<EditGroup> AddOutlinePoint(const Review& review, MarkKind kind, FrameRef at, PointPx point,
                                  const MarkIdSource& new_id);
// Where a mark can be taken hold of: its points; of a cover also GripsOfCover.
std::vector<PointPx> GripsOf(const Mark& mark);
// Nothing for a grip that the mark does not have.
void MoveGrip(Mark& mark, std::size_t grip, PointPx to);

// `index`: of the grip.
Result<EditGroup> MoveMarkPoint(const Review& review, const MarkId& mark, std::size_t index, PointPx to);
// Removes a point; of a ruler or incision, or the last one of an outline, the whole mark and what was made
// from it.
Result<EditGroup> RemoveMarkPoint(const Review& review, const MarkId& mark, std::size_t index);
// A ruler, incision, arrow or cover (of its whole recording) from two points.
Result<EditGroup> AddTwoPointMark(const Review& review, MarkKind kind, FrameRef at, PointPx from, PointPx to,
                                  const MarkIdSource& new_id);

// Words at a place.
Result<EditGroup> AddLabel(FrameRef at, PointPx point, const std::string& words, const MarkIdSource& new_id);

// The flap is taken there.
Result<EditGroup> AddGrasp(FrameRef at, PointPx point, const MarkIdSource& new_id);

// Names an incision.
Result<EditGroup> NameIncision(Mark incision, IncisionKind kind);
// How the capsule was opened, as the field `opening` has it: "rhexis", "can-opener", "envelope".
Result<EditGroup> NameOpening(Mark rhexis, const std::string& opening);

// Whether an outline of the rhexis is that at completion or over the optic: the other one.
Result<EditGroup> OtherRhexisStage(Mark rhexis);

// Copies marks to another frame; a cover holds for all of that recording. Refuses an outline where one of its
// kind lies there already.
Result<EditGroup> CopyMarks(const Review& review, const std::vector<Mark>& marks, FrameRef to,
                            const MarkIdSource& new_id);

// What of a trail's point is meant: the tip, or the place on the shaft that says which way it lies.
enum class TipPart { kTip, kShaft };

// Puts the tip at that frame: into the trail whose points lie nearest in time, within `reach_ticks` of the
// frame, else into a new one. shaft: another place on the instrument's shaft, where the hand said one.
Result<EditGroup> SetTip(const Review& review, FrameRef at, PointPx tip, std::optional<PointPx> shaft,
                         std::int64_t reach_ticks, const TrailIdSource& new_id);
// Says that the shaft of the tip that the hand set on that frame (the nearest one) runs through there. Fails
// where there is none, or that place is the tip itself.
Result<EditGroup> SetShaft(const Review& review, FrameRef at, PointPx through);
// The other part of the point stays as it is; a tip that is moved counts as corrected.
Result<EditGroup> MoveTipPoint(const Review& review, const TrailId& trail, FrameRef at, TipPart part,
                               PointPx to);
// The tip stays, and its shaft is found in the picture again.
Result<EditGroup> RemoveShaft(const Review& review, const TrailId& trail, FrameRef at);
Result<EditGroup> RemoveTip(const Review& review, const TrailId& trail, FrameRef at);

// A length as the reviewer writes it: millimetres ("2.8"), or the gauge of a needle across which the ruler
// lies
// ("25 G", see NeedleDiameter). None for nothing or 0: it is not known. Fails for anything else.
Result<std::optional<KnownLength>> ReadKnownLength(const std::string& words);
// The known length of a ruler: makes or changes the scale that is made from it; none takes it away.
Result<EditGroup> SetRulerLength(const Review& review, const MarkId& ruler, std::optional<KnownLength> length,
                                 const std::function<ScaleId()>& new_id);

}  // namespace afterscope
