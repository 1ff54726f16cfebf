// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/cover_edits.hpp"

#include "annotate/jobs/geometry_view.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr double kRoundTheEye = 1.3;  // limbus radii left in sight

Error NoCover() {
  return {ErrorCode::kBadCall, "This cover is not there any more; it was removed meanwhile."};
}

Result<Mark> FindCover(const Review& review, const MarkId& id) {
  const auto found = std::find_if(review.marks.begin(), review.marks.end(), [&](const Mark& mark) {
    return mark.id == id && mark.kind == MarkKind::kCover;
  });
  if (found == review.marks.end()) return NoCover();
  return *found;
}

EditGroup Changed(const char* label, Mark mark) { return {label, {Put<Mark>{std::move(mark)}}}; }

const RecordingShape* ShapeAt(const std::vector<RecordingRef>& recordings, int recording) {
  const auto i = static_cast<std::size_t>(recording);
  return recording >= 0 && i < recordings.size() ? &recordings[i].shape : nullptr;
}

// What it holds for, where it holds for a whole recording too.
std::optional<HalfOpen<FrameRef>> WholeRange(const Mark& cover, const std::vector<RecordingRef>& recordings) {
  if (const auto range = RangeOfCover(cover)) return range;
  const RecordingShape* shape = ShapeAt(recordings, cover.at.recording);
  if (shape == nullptr) return std::nullopt;
  return HalfOpen<FrameRef>{{cover.at.recording, shape->first}, {cover.at.recording, shape->end}};
}

Error NoRecording() {
  return {ErrorCode::kBadCall, "The recording's length is not known yet; try again in a moment."};
}

}  // namespace

std::optional<MarkId> CoverMeant(const Review& review, const std::optional<MarkId>& chosen, FrameRef at) {
  std::optional<MarkId> any;
  std::optional<MarkId> here;
  for (const Mark& mark : review.marks) {
    if (mark.kind != MarkKind::kCover) continue;
    if (mark.id == chosen) return chosen;
    any = mark.id;
    if (CoverHolds(mark, at)) here = mark.id;
  }
  return here ? here : any;
}

Result<EditGroup> CoverFrom(const Review& review, const std::vector<RecordingRef>& recordings,
                            const MarkId& id, FrameRef first) {
  AFTERSCOPE_ASSIGN(Mark cover, FindCover(review, id));
  const auto range = WholeRange(cover, recordings);
  const RecordingShape* here = ShapeAt(recordings, first.recording);
  if (!range || here == nullptr) return NoRecording();
  const FrameRef end = first < range->end ? range->end : FrameRef{first.recording, here->end};
  SetRange(cover, HalfOpen<FrameRef>{first, end});
  return Changed("Cover from here", std::move(cover));
}

Result<EditGroup> CoverUntil(const Review& review, const std::vector<RecordingRef>& recordings,
                             const MarkId& id, FrameRef end) {
  AFTERSCOPE_ASSIGN(Mark cover, FindCover(review, id));
  const auto range = WholeRange(cover, recordings);
  const RecordingShape* here = ShapeAt(recordings, end.recording);
  if (!range || here == nullptr) return NoRecording();
  const FrameRef first = range->start < end ? range->start : FrameRef{end.recording, here->first};
  SetRange(cover, HalfOpen<FrameRef>{first, end});
  return Changed("Cover to here", std::move(cover));
}

Result<EditGroup> CoverThroughout(const Review& review, const MarkId& id) {
  AFTERSCOPE_ASSIGN(Mark cover, FindCover(review, id));
  SetRange(cover, std::nullopt);
  return Changed("Cover the whole recording", std::move(cover));
}

Result<EditGroup> NextCoverShape(const Review& review, const MarkId& id) {
  AFTERSCOPE_ASSIGN(Mark cover, FindCover(review, id));
  const CoverShape shape = ShapeOfCover(cover);
  SetShape(cover, shape == CoverShape::kBox       ? CoverShape::kEllipse
                  : shape == CoverShape::kEllipse ? CoverShape::kOutside
                                                  : CoverShape::kBox);
  return Changed("Cover's shape", std::move(cover));
}

Result<EditGroup> CoverAllButEye(const CaseRecord& record, const Review& review, FrameRef at,
                                 const MarkIdSource& new_id) {
  const FrameGeometry geometry = ViewFrame(record, review, at);
  const auto limbus = std::find_if(
      geometry.outlines.begin(), geometry.outlines.end(),
      [](const OutlineView& outline) { return outline.kind == MarkKind::kLimbus && outline.best_circle; });
  if (limbus == geometry.outlines.end())
    return Error{ErrorCode::kBadCall,
                 "The eye is known by its limbus: mark that on this frame first, three points or more."};
  const CircleSq& eye = *limbus->best_circle;
  const double reach = kRoundTheEye * eye.radius;
  const double aspect = PixelAspectOf(record, at.recording);
  Mark cover;
  cover.id = new_id();
  cover.at = at;
  cover.kind = MarkKind::kCover;
  cover.points = {{(eye.centre.x - reach) / aspect, eye.centre.y - reach},
                  {(eye.centre.x + reach) / aspect, eye.centre.y + reach}};
  SetShape(cover, CoverShape::kOutside);
  return Changed("Cover all but the eye", std::move(cover));
}

}  // namespace afterscope
