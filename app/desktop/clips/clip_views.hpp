// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/clip/clip_plan.hpp"
#include "annotate/clip/clip_schedule.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "metrics/picture/shown_picture.hpp"

#include <optional>
#include <string>

namespace afterscope {

// How a part's view is changed in the preview. Pure.

// Which of a part's views is changed.
enum class ViewEnd { kBoth, kBeginning, kEnd };
ViewEnd NextViewEnd(ViewEnd end);
std::string ViewEndWords(ViewEnd end);

// Nearer (factor > 1) or farther; the place (shares of the shown picture) stays where it is on the screen.
// Never farther than the whole picture, never nearer than 16 times.
ClipView ZoomedView(const ClipView& view, double factor, double about_x, double about_y);
// Moved by shares of what is seen now, not beyond the picture's edges.
ClipView MovedView(const ClipView& view, double x, double y);
// Sets the view, or views, of a part.
void SetView(ClipPart& part, ViewEnd end, const ClipView& view);
// The one that is changed: at its end, else at its beginning.
const ClipView& ViewOf(const ClipPart& part, ViewEnd end);

// Where a place on the screen lies in the recording's picture, in shares of its width and height; empty
// beside it. `frame`: where the clip's frame is drawn on the screen; `view`: what it shows.
struct PictureShare {
  double x = 0, y = 0;
};
std::optional<PictureShare> ShareAt(float x, float y, const ScreenRect& frame, const ClipView& view,
                                    const ShownPicture& shown, int width, int height);

// Where a clip's frame of that size lies in an area: in the middle, as large as it goes.
ScreenRect FrameWithin(const ScreenRect& area, int width, int height);

}  // namespace afterscope
