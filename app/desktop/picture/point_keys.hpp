// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "app/desktop/picture/picture_panel.hpp"

#include <optional>
#include <string>

namespace afterscope {

// A point of a mark or trail that is chosen by keys, and what keys do to it. Pure but for the state.

// The chosen point as the review has it now; empty where none is chosen, or it is not on that frame (any
// more).
std::optional<Handle> ChosenOn(const std::optional<Handle>& chosen, const Review& review, FrameRef at);
// The point after (1) or before (-1) the chosen one among those of the frame, round and round; the first or
// the last where none is chosen. Empty where the frame has none.
std::optional<Handle> PointBeside(const std::optional<Handle>& chosen, const Review& review, FrameRef at,
                                  int direction);

// How far an action ("point left" ... "point far down") moves it, in pixels of the shown picture: 1, or 10
// where it is far; empty for another action.
struct ShownOffset {
  double x = 0;
  double y = 0;
};
std::optional<ShownOffset> OffsetOf(const std::string& action);
// The same in pixels of the decoded picture, which may be turned or have pixels that are not square.
OffsetPx PxOffset(const ShownPicture& shown, ShownOffset by);

// Moves the point from where the review has it, so that keys pressed faster than they are kept add up.
Result<EditGroup> MovePointBy(const Review& review, const Handle& point, FrameRef at, OffsetPx by);
// Removes the point, as RemoveMarkPoint and RemoveTip do.
Result<EditGroup> RemovePoint(const Review& review, const Handle& point, FrameRef at);
// Removes the mark or trail that it belongs to.
Result<EditGroup> RemoveWhole(const Review& review, const Handle& point);

}  // namespace afterscope
