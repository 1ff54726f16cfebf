// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/point_keys.hpp"

#include "annotate/case/tagging.hpp"
#include "app/desktop/desk/mark_edits.hpp"
#include "app/desktop/picture/handles.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace afterscope {
namespace {

constexpr double kFar = 10;

bool Same(const Handle& a, const Handle& b) { return a.of == b.of && a.index == b.index && a.part == b.part; }

}  // namespace

std::optional<Handle> ChosenOn(const std::optional<Handle>& chosen, const Review& review, FrameRef at) {
  if (!chosen) return std::nullopt;
  for (const Handle& handle : HandlesOn(review, at))
    if (Same(handle, *chosen)) return handle;
  return std::nullopt;
}

std::optional<Handle> PointBeside(const std::optional<Handle>& chosen, const Review& review, FrameRef at,
                                  int direction) {
  const std::vector<Handle> handles = HandlesOn(review, at);
  if (handles.empty()) return std::nullopt;
  const auto here = std::find_if(handles.begin(), handles.end(),
                                 [&](const Handle& handle) { return chosen && Same(handle, *chosen); });
  if (here == handles.end()) return direction > 0 ? handles.front() : handles.back();
  const auto count = static_cast<std::ptrdiff_t>(handles.size());
  return handles[static_cast<std::size_t>(((here - handles.begin()) + direction + count) % count)];
}

std::optional<ShownOffset> OffsetOf(const std::string& action) {
  constexpr std::array<std::pair<const char*, ShownOffset>, 4> kWays{
      {{"left", {-1, 0}}, {"right", {1, 0}}, {"up", {0, -1}}, {"down", {0, 1}}}};
  for (const auto& [way, offset] : kWays) {
    if (action == std::string("point ") + way) return offset;
    if (action == std::string("point far ") + way) return ShownOffset{kFar * offset.x, kFar * offset.y};
  }
  return std::nullopt;
}

OffsetPx PxOffset(const ShownPicture& shown, ShownOffset by) {
  return shown.PxAt({by.x, by.y}) - shown.PxAt({0, 0});
}

Result<EditGroup> MovePointBy(const Review& review, const Handle& point, FrameRef at, OffsetPx by) {
  const auto now = ChosenOn(point, review, at);
  if (!now) return Error{ErrorCode::kBadCall, "This point is not there any more; it was removed meanwhile."};
  const PointPx to = now->at + by;
  if (const auto* mark = std::get_if<MarkId>(&now->of)) return MoveMarkPoint(review, *mark, now->index, to);
  return MoveTipPoint(review, std::get<TrailId>(now->of), at, now->part, to);
}

Result<EditGroup> RemovePoint(const Review& review, const Handle& point, FrameRef at) {
  if (const auto* mark = std::get_if<MarkId>(&point.of)) return RemoveMarkPoint(review, *mark, point.index);
  const TrailId& trail = std::get<TrailId>(point.of);
  return point.part == TipPart::kShaft ? RemoveShaft(review, trail, at) : RemoveTip(review, trail, at);
}

Result<EditGroup> RemoveWhole(const Review& review, const Handle& point) {
  if (const auto* mark = std::get_if<MarkId>(&point.of)) return RemoveMark(review, *mark);
  return EditGroup{"Remove trail", {Remove<TrailId>{std::get<TrailId>(point.of)}}};
}

}  // namespace afterscope
