// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/measure/tip_map.hpp"
#include "annotate/overlay/build_shapes.hpp"
#include "app/desktop/desk/mark_edits.hpp"
#include "app/desktop/gl/painted_later.hpp"
#include "app/desktop/picture/picture_look.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/scene.hpp"

#include <optional>
#include <string>
#include <variant>

namespace afterscope {

// What a click on the picture makes. kNone: points can be moved, the picture dragged.
enum class Tool {
  kNone,
  kLimbus,
  kPupil,
  kRhexis,
  kLensEdge,
  kTip,
  kRuler,
  kIncision,
  kArrow,
  kLabel,
  kCover,
  kGrasp
};

// The mark kind of a tool; empty for kNone and kTip.
std::optional<MarkKind> KindOf(Tool tool);
bool IsOutlineTool(Tool tool);
// As it is said on screen.
const char* ToolWord(Tool tool);
// The action of the key map that takes the tool up.
std::string ToolAction(Tool tool);

// A point of a mark, or of a trail at the frame that is shown.
struct Handle {
  std::variant<MarkId, TrailId> of;
  std::size_t index = 0;
  PointPx at;
  TipPart part = TipPart::kTip;  // of a trail's point
};

struct PictureState {
  PictureView view;
  PictureLook look;  // outlives the case
  Tool tool = Tool::kNone;
  bool drawings = true;
  std::optional<TipMap> map;  // of a tip, seen while its own frame is and the case stays as it was
  std::uint64_t map_revision = 0;
  std::optional<PointPx> first_point;  // of a mark of two points whose second one is still to come
  FrameRef first_at;
  std::optional<TrailId> tip_trail;  // that a tip is set in; none: the one nearest in time
  std::optional<Handle> held;        // follows the pointer; `at` is where it is now
  bool held_moved = false;
  std::optional<Handle> dropped;  // let go, shown where it was let go until the case has it
  std::uint64_t dropped_revision = 0;
  double dropped_until = 0;
  std::optional<Handle> under;      // under the pointer
  std::optional<Handle> chosen;     // by keys or a click: keys move it; `at` may be out of date
  std::optional<PointPx> just_put;  // by keys: chosen as soon as the case has it
  bool pans = false;
  bool hovered = false;
  PaintedLater magnified;  // what is under the pointer, nearer

  // The shapes of what is shown, kept until something changes.
  ShapeList shapes;
  std::uint64_t shapes_revision = 0;
  FrameRef shapes_at;
  bool shapes_handles = false;
  std::string shapes_map;
  bool shapes_valid = false;
};

// Another case: all but how pictures are looked at starts anew.
void ForgetPicture(PictureState& state);

// What lies over the picture and what the mouse does on it. The picture itself is painted below, by
// PicturePainter, at the place that state.view gives; the magnifier paints it again when ImGui is rendered.
void DrawPicture(PictureState& state, const Scene& scene, EditQueue& edits, PicturePainter& painter,
                 const ScreenRect& area);

// What a click of the tool in hand does, by keys: where the pointer is over the picture; else beside the
// chosen point; else in the middle. False where there is no tool in hand or the picture can't be marked now.
bool PutPoint(PictureState& state, const Scene& scene, EditQueue& edits, const ScreenRect& area);

// Says that the shaft of the tip on this frame runs through such a place. False where the picture can't be
// marked now.
bool PutShaft(PictureState& state, const Scene& scene, EditQueue& edits, const ScreenRect& area);

// Removes the point under the pointer; false if there is none.
bool RemovePointUnder(PictureState& state, const Scene& scene, EditQueue& edits);

}  // namespace afterscope
