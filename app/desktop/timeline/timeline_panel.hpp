// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/player/small_pictures.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/timeline/layout.hpp"
#include "app/desktop/timeline/quiet_line.hpp"

#include <optional>

namespace afterscope {

// A boundary in the hand: where it was, where it is now.
struct BoundaryDrag {
  std::optional<VisitId> ending;
  std::optional<VisitId> starting;
  FrameRef from;
  FrameRef to;
  // Let go: shown there until the case has it.
  bool dropped = false;
  std::uint64_t revision = 0;
  double until = 0;
};

struct TimelineState {
  double span_s = 4;                    // seconds in the moment strip
  std::optional<FrameRef> held_centre;  // the moment strip stands still while something is dragged in it
  std::optional<BoundaryDrag> boundary;
  bool scrubs_operation = false;
  bool scrubs_moment = false;
  std::vector<QuietSeries> quiet;  // what the quiet line can show
  std::string quiet_name;          // what the user chose; the first of the usual ones where that is not there
  std::optional<VisitId> menu_visit;  // whose menu is open

  const QuietSeries* Quiet() const;  // null: there is nothing to show
};

// Whether the second lane has anything in it; its rows are there only then.
bool HasOtherHand(const Review& review);

// What the strip of the moment shows after one step longer or shorter, in seconds.
double NextSpan(double span_s, bool longer);

// How high the timeline is that shares a height of `room` with the recording's picture. While it would take
// more than half of that, its small pictures are lower, by half at most: they are no text.
float TimelineHeight(const Look& look, const Review& review, float room);

// The two strips of the timeline: the operation above, the moment below, and between them what shows which
// few seconds the moment is.
void DrawTimeline(TimelineState& state, const Scene& scene, EditQueue& edits, SmallPictures& small,
                  const ScreenRect& area);

}  // namespace afterscope
