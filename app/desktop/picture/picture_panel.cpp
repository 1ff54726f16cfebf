// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/picture_panel.hpp"

#include "annotate/overlay/tip_map_shapes.hpp"
#include "app/desktop/desk/mark_edits.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/plate.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/picture/handles.hpp"
#include "app/desktop/picture/magnifier_panel.hpp"
#include "app/desktop/picture/point_keys.hpp"
#include "app/desktop/picture/shape_painter.hpp"
#include "app/desktop/picture/side_labels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace afterscope {
namespace {

constexpr float kReach = 9;
constexpr double kSettleSeconds = 1;
constexpr double kTrailReachSeconds = 2;  // a tip farther away in time starts a new trail

struct Placement {
  ShownPicture shown;
  ScreenFromShown placed;

  PointPx PxAt(ImVec2 screen) const { return shown.PxAt(placed.ShownAt(screen.x, screen.y)); }
  bool Contains(PointPx p) const {
    return p.x >= -0.5 && p.y >= -0.5 && p.x <= shown.width_px - 0.5 && p.y <= shown.height_px - 0.5;
  }
};

std::int64_t TrailReach(const Scene& scene, FrameRef at) {
  const auto i = static_cast<std::size_t>(at.recording);
  if (i >= scene.tables.size() || !scene.tables[i]) return 0;
  return static_cast<std::int64_t>(kTrailReachSeconds / scene.tables[i]->time_base().value());
}

void PlaceTip(const PictureState& state, const Scene& scene, EditQueue& edits, FrameRef at, PointPx tip,
              std::optional<PointPx> shaft) {
  if (state.tip_trail)
    return edits.Push([trail = *state.tip_trail, at, tip, shaft](CaseSession&) -> Result<EditGroup> {
      return EditGroup{"Set tip",
                       {SetTrailPoints{trail, {{at, tip, TrailSource::kCorrected, 1, shaft}}, {}}}};
    });
  const std::int64_t reach = TrailReach(scene, at);
  edits.Push([=](CaseSession& session) {
    return SetTip(session.review(), at, tip, shaft, reach, [&session] { return session.NewTrailId(); });
  });
  scene.wishes.actions.emplace_back("next frame");
}

void PlaceTwoPoints(PictureState& state, EditQueue& edits, FrameRef at, PointPx point) {
  if (!state.first_point || state.first_at != at) {
    state.first_point = point;
    state.first_at = at;
    return;
  }
  edits.Push([kind = *KindOf(state.tool), at, from = *state.first_point, point](CaseSession& session) {
    return AddTwoPointMark(session.review(), kind, at, from, point,
                           [&session] { return session.NewMarkId(); });
  });
  state.first_point.reset();
}

void PlacePoint(PictureState& state, const Scene& scene, EditQueue& edits, PointPx point) {
  const FrameRef at = scene.player.playhead();
  if (state.tool == Tool::kTip) return PlaceTip(state, scene, edits, at, point, std::nullopt);
  if (state.tool == Tool::kLabel) {
    scene.wishes.label_at = point;
    return;
  }
  if (state.tool == Tool::kGrasp)
    return edits.Push([at, point](CaseSession& session) {
      return AddGrasp(at, point, [&session] { return session.NewMarkId(); });
    });
  if (!IsOutlineTool(state.tool)) return PlaceTwoPoints(state, edits, at, point);
  edits.Push([kind = *KindOf(state.tool), at, point](CaseSession& session) {
    return AddOutlinePoint(session.review(), kind, at, point, [&session] { return session.NewMarkId(); });
  });
}

void DropHandle(const Handle& held, EditQueue& edits, FrameRef at) {
  if (const auto* mark = std::get_if<MarkId>(&held.of)) {
    edits.Push([mark = *mark, index = held.index, to = held.at](CaseSession& session) {
      return MoveMarkPoint(session.review(), mark, index, to);
    });
    return;
  }
  edits.Push([trail = std::get<TrailId>(held.of), at, part = held.part, to = held.at](CaseSession& session) {
    return MoveTipPoint(session.review(), trail, at, part, to);
  });
}

void LetGo(PictureState& state, const Scene& scene, EditQueue& edits) {
  DropHandle(*state.held, edits, scene.player.playhead());
  state.dropped = state.held;
  state.dropped_revision = scene.view.revision;
  state.dropped_until = scene.now + kSettleSeconds;
}

// A tool of two points begins or ends exactly on a point that is there already.
bool Snaps(const PictureState& state) {
  const bool two_points =
      state.tool == Tool::kRuler || state.tool == Tool::kIncision || state.tool == Tool::kArrow;
  return two_points && state.under && std::holds_alternative<MarkId>(state.under->of);
}

// The left button: takes hold of a point, makes one, or drags the picture.
void Press(PictureState& state, const Scene& scene, EditQueue& edits, const Placement& place, ImVec2 mouse) {
  const bool marks = scene.Editable() && scene.player.exact();
  if (marks && state.tool == Tool::kTip && ImGui::GetIO().KeyShift) {  // the shaft is drawn from here
    const bool on_tip = state.under && std::holds_alternative<TrailId>(state.under->of);
    state.first_point = on_tip ? state.under->at : place.PxAt(mouse);
    state.first_at = scene.player.playhead();
    return;
  }
  if (marks && Snaps(state)) return PlacePoint(state, scene, edits, state.under->at);
  if (marks && state.under) {
    state.held = state.under;
    state.held_moved = false;
    return;
  }
  const PointPx point = place.PxAt(mouse);
  if (state.tool == Tool::kNone) {
    state.pans = true;
    return;
  }
  if (scene.player.playing())
    scene.wishes.actions.emplace_back("play");
  else if (marks && place.Contains(point))
    PlacePoint(state, scene, edits, point);
}

// Drawn from one corner, or end, to the other without letting go between.
bool DrawnInOne(const PictureState& state, const Scene& scene, const Placement& place) {
  const ImGuiIO& io = ImGui::GetIO();
  const float reach = scene.look.Px(kReach);
  return ImGui::IsMouseReleased(0) && state.first_point && state.first_at == scene.player.playhead() &&
         io.MouseDragMaxDistanceSqr[0] > reach * reach && place.Contains(place.PxAt(io.MousePos));
}

// Drawn from the tip along the shaft: both are set; not drawn, it was a click on the tip.
void LetGoOfShaft(PictureState& state, const Scene& scene, EditQueue& edits, const Placement& place) {
  if (!state.first_point) return;
  std::optional<PointPx> shaft;
  if (DrawnInOne(state, scene, place)) shaft = place.PxAt(ImGui::GetIO().MousePos);
  PlaceTip(state, scene, edits, state.first_at, *state.first_point, shaft);
  state.first_point.reset();
}

void Zoom(PictureState& state, const Placement& place, const ScreenRect& area) {
  const ImGuiIO& io = ImGui::GetIO();
  if (io.MouseWheel != 0)
    state.view.ZoomAt(std::pow(1.25, io.MouseWheel), io.MousePos.x, io.MousePos.y, place.shown, area);
}

void Operate(PictureState& state, const Scene& scene, EditQueue& edits, const Placement& place,
             const ScreenRect& area) {
  const ImGuiIO& io = ImGui::GetIO();
  ImGui::SetCursorScreenPos({area.left, area.top});
  ImGui::InvisibleButton("picture", {std::max(1.0F, area.Width()), std::max(1.0F, area.Height())},
                         ImGuiButtonFlags_MouseButtonLeft | ImGuiButtonFlags_MouseButtonRight |
                             ImGuiButtonFlags_MouseButtonMiddle);
  const bool hovered = ImGui::IsItemHovered();
  state.hovered = hovered || state.held.has_value();
  state.under.reset();
  if (hovered && !state.held && state.drawings && scene.player.exact())
    state.under = HandleNear(HandlesOn(scene.view.review, scene.player.playhead()), place.shown, place.placed,
                             io.MousePos.x, io.MousePos.y, scene.look.Px(kReach));
  if (hovered) Zoom(state, place, area);
  if (ImGui::IsItemActivated() && ImGui::IsMouseClicked(0)) Press(state, scene, edits, place, io.MousePos);
  if (ImGui::IsItemActive() && (state.pans || ImGui::IsMouseDown(1) || ImGui::IsMouseDown(2)))
    state.view.Pan(io.MouseDelta.x, io.MouseDelta.y, place.shown, area);
  if (state.held && (io.MouseDelta.x != 0 || io.MouseDelta.y != 0)) {
    state.held->at = place.PxAt(io.MousePos);
    state.held_moved = true;
  }
  if (ImGui::IsItemDeactivated()) {
    if (state.held && state.held_moved) LetGo(state, scene, edits);
    if (state.held && !state.held_moved) state.chosen = state.held;
    if (state.tool == Tool::kTip)
      LetGoOfShaft(state, scene, edits, place);
    else if (DrawnInOne(state, scene, place))
      PlacePoint(state, scene, edits, Snaps(state) ? state.under->at : place.PxAt(io.MousePos));
    state.held.reset();
    state.pans = false;
  }
  if (!hovered || place.shown.width_px == 0) return;
  const PointPx px = place.PxAt(io.MousePos);
  if (place.Contains(px)) scene.wishes.under = fmt::format("x {:.1f}  y {:.1f}", px.x, px.y);
}

void ChooseJustPut(PictureState& state, const Scene& scene) {
  if (!state.just_put) return;
  for (const Handle& handle : HandlesOn(scene.view.review, scene.player.playhead()))
    if (handle.at == *state.just_put) {
      state.chosen = handle;
      state.just_put.reset();
      return;
    }
}

const ShapeList& ShapesOf(PictureState& state, const Scene& scene) {
  const FrameRef at = scene.player.playhead();
  OverlayOptions options;
  options.handles = state.tool != Tool::kNone || state.held || state.under ||
                    ChosenOn(state.chosen, scene.view.review, at).has_value();
  if (state.map && state.map_revision != scene.view.revision) state.map.reset();
  const std::string seen_map =
      state.map && state.map->at == at ? state.map->trail.value + "/" + state.map->step : "";
  if (state.dropped && (state.dropped_revision != scene.view.revision || scene.now > state.dropped_until))
    state.dropped.reset();
  if (const auto& moved = state.held ? state.held : state.dropped) {
    state.shapes =
        BuildShapes(scene.view.record, WithHandleMoved(scene.view.review, *moved, at), at, options);
    state.shapes_valid = false;
  } else if (!state.shapes_valid || state.shapes_revision != scene.view.revision || state.shapes_at != at ||
             state.shapes_handles != options.handles || state.shapes_map != seen_map) {
    state.shapes = BuildShapes(scene.view.record, scene.view.review, at, options);
    if (!seen_map.empty()) {
      const ShapeList map = ShapesOfTipMap(*state.map);
      state.shapes.insert(state.shapes.begin(), map.begin(), map.end());  // covers lie over it
    }
    state.shapes_revision = scene.view.revision;
    state.shapes_at = at;
    state.shapes_handles = options.handles;
    state.shapes_map = seen_map;
    state.shapes_valid = true;
  }
  return state.shapes;
}

// A line from the first point of a ruler to the pointer, a ring round what can be taken hold of.
void PaintHelp(const PictureState& state, const Scene& scene, ImDrawList* list, const Placement& place) {
  const auto screen = [&](PointPx p) {
    const auto spot = place.shown.FromPx(p);
    return ImVec2{static_cast<float>(place.placed.X(spot)), static_cast<float>(place.placed.Y(spot))};
  };
  if (state.first_point && state.first_at == scene.player.playhead()) {
    const ImVec2 from = screen(*state.first_point);
    const ImVec2 to = ImGui::GetIO().MousePos;
    for (const auto& [ink, width] : {std::pair{Ink(kCasing, 0.6), 3.5F}, std::pair{Ink(kWhite), 1.5F}})
      state.tool == Tool::kCover ? list->AddRect(from, to, ink, 0, 0, scene.look.Px(width))
                                 : list->AddLine(from, to, ink, scene.look.Px(width));
  }
  const auto& ring = state.held ? state.held : state.under;
  if (ring) list->AddCircle(screen(ring->at), scene.look.Px(8), Ink(kWhite), 0, scene.look.Px(2));
  const auto chosen = ChosenOn(state.chosen, scene.view.review, scene.player.playhead());
  if (!chosen || ring) return;
  const float side = scene.look.Px(8);
  const ImVec2 at = screen(chosen->at);
  for (const auto& [ink, width] : {std::pair{Ink(kCasing, 0.8), 4.0F}, std::pair{Ink(kWhite), 2.0F}})
    list->AddRect({at.x - side, at.y - side}, {at.x + side, at.y + side}, ink, 0, 0, scene.look.Px(width));
}

// Where keys put something: under the pointer, else beside the chosen point, else in the middle. None where
// the picture can't be marked now.
std::optional<PointPx> PlaceByKeys(const PictureState& state, const Scene& scene, const ScreenRect& area) {
  constexpr double kBeside = 12;  // pixels
  if (!scene.Editable() || !scene.player.exact()) return std::nullopt;
  const ShownPicture shown = ShownPicture::Of(scene.player.shown());
  const Placement place{shown, state.view.Placed(shown, area)};
  const ImVec2 middle{(area.left + area.right) / 2, (area.top + area.bottom) / 2};
  PointPx point = place.PxAt(state.hovered ? ImGui::GetIO().MousePos : middle);
  if (const auto chosen = ChosenOn(state.chosen, scene.view.review, scene.player.playhead());
      chosen && !state.hovered)
    point = {chosen->at.x + kBeside, chosen->at.y};
  return place.Contains(point) ? std::optional(point) : std::nullopt;
}

void PaintNotice(const Scene& scene, ImDrawList* list, const ScreenRect& area, const std::string& text) {
  const Look& look = scene.look;
  const float wrap = std::min(area.Width() - look.Px(24), look.Px(560));
  // Where large text leaves a picture of a few lines, they are smaller.
  const bool high = look.script->Size(look.fonts.body, text, wrap).y > area.Height() - look.Px(8);
  ImFont* font = high ? look.fonts.small : look.fonts.body;
  const ImVec2 size = look.script->Size(font, text, wrap);
  const ImVec2 at{std::round((area.left + area.right - size.x) / 2),
                  std::round(std::max(area.top + look.Px(4), (area.top + area.bottom - size.y) / 2))};
  look.script->Draw(list, font, at, Ink(look.colours.quiet), text, wrap);
}

// What is said where there is no picture.
std::string Missing(const Scene& scene) {
  const auto& items = scene.reel.items();
  if (items.empty() && scene.view.hidden) return "Looking for burnt-in words, to cover them …";
  if (items.empty()) return "Open recordings or a case at the right, or drop them here.";
  const auto i = static_cast<std::size_t>(
      std::clamp<int>(scene.player.playhead().recording, 0, static_cast<int>(items.size()) - 1));
  if (items[i].state == Reel::State::kOpening) return "Opening the recording …";
  if (scene.view.hidden && (items[i].state == Reel::State::kMissing || !scene.player.problem().empty()))
    return "The recording can't be shown; why is said once this blinded review is signed.";
  if (items[i].state == Reel::State::kMissing) return items[i].problem;
  return scene.player.problem().empty() ? "Fetching the picture …" : scene.player.problem();
}

std::string CountWords(const PlayCount& count) {
  return fmt::format("Played since the case was opened: {} pictures shown, {} late, {} passed over",
                     count.shown(), count.late(), count.passed_over());
}

// How the picture differs from the recorded one, which is never left unsaid; what became of pictures, on
// demand.
void PaintLookWords(const PictureState& state, const Scene& scene, ImDrawList* list, const ScreenRect& area) {
  if (scene.player.shown().empty()) return;
  std::string words = state.look.panel ? std::string() : LookWords(state.look);
  if (state.look.counts) {
    if (!words.empty()) words += "\n";
    words += CountWords(scene.player.count());
  }
  if (words.empty()) return;
  const Look& look = scene.look;
  const float room = std::max(look.Px(60), area.Width() - look.Px(40));
  const ImVec2 size = look.script->Size(look.fonts.small, words, room);
  const ImVec2 from{area.right - look.Px(28) - size.x, area.top + look.Px(10)};
  list->AddRectFilled(from, {from.x + size.x + look.Px(16), from.y + size.y + look.Px(8)},
                      Ink(look.colours.sheet, 0.88), look.Px(4));
  look.script->Draw(list, look.fonts.small, {from.x + look.Px(8), from.y + look.Px(4)},
                    Ink(look.colours.quiet), words, room);
}

void PaintTool(const PictureState& state, const Scene& scene, ImDrawList* list, const ScreenRect& area) {
  std::string text;
  if (state.tool != Tool::kNone) text = fmt::format("Marking the {}", ToolWord(state.tool));
  if (state.tool != Tool::kNone && !scene.player.exact() && !scene.player.shown().empty())
    text += " – the picture is on its way";
  if (scene.player.exact() && scene.player.shown().damaged)
    text += std::string(text.empty() ? "" : "  ") + "! This frame is damaged in the recording";
  if (text.empty()) return;
  PaintPlate(scene.look, list, area, text);
}

}  // namespace

std::optional<MarkKind> KindOf(Tool tool) {
  switch (tool) {
    case Tool::kLimbus:
      return MarkKind::kLimbus;
    case Tool::kPupil:
      return MarkKind::kPupil;
    case Tool::kRhexis:
      return MarkKind::kRhexis;
    case Tool::kLensEdge:
      return MarkKind::kLensEdge;
    case Tool::kRuler:
      return MarkKind::kRuler;
    case Tool::kIncision:
      return MarkKind::kIncision;
    case Tool::kArrow:
      return MarkKind::kArrow;
    case Tool::kLabel:
      return MarkKind::kLabel;
    case Tool::kCover:
      return MarkKind::kCover;
    case Tool::kGrasp:
      return MarkKind::kGrasp;
    case Tool::kNone:
    case Tool::kTip:
      break;
  }
  return std::nullopt;
}

bool IsOutlineTool(Tool tool) {
  return tool == Tool::kLimbus || tool == Tool::kPupil || tool == Tool::kRhexis || tool == Tool::kLensEdge;
}

const char* ToolWord(Tool tool) {
  constexpr std::array kWords{"",      "limbus",   "pupil", "rhexis", "lens edge", "instrument tip",
                              "ruler", "incision", "arrow", "label",  "cover",     "grasp"};
  return kWords[static_cast<std::size_t>(tool)];
}

std::string ToolAction(Tool tool) {
  return tool == Tool::kTip ? std::string("mark tip") : std::string("mark ") + ToolWord(tool);
}

bool RemovePointUnder(PictureState& state, const Scene& scene, EditQueue& edits) {
  if (!state.under || !scene.Editable()) return false;
  edits.Push([point = *state.under, at = scene.player.playhead()](CaseSession& session) {
    return RemovePoint(session.review(), point, at);
  });
  state.under.reset();
  return true;
}

bool PutPoint(PictureState& state, const Scene& scene, EditQueue& edits, const ScreenRect& area) {
  if (state.tool == Tool::kNone) return false;
  const auto point = PlaceByKeys(state, scene, area);
  if (!point) return false;
  PlacePoint(state, scene, edits, *point);
  state.just_put = *point;
  return true;
}

bool PutShaft(PictureState& state, const Scene& scene, EditQueue& edits, const ScreenRect& area) {
  const auto through = PlaceByKeys(state, scene, area);
  if (!through) return false;
  edits.Push([at = scene.player.playhead(), through = *through](CaseSession& session) {
    return SetShaft(session.review(), at, through);
  });
  state.just_put = *through;
  return true;
}

void ForgetPicture(PictureState& state) {
  PictureState fresh;
  fresh.look = state.look;
  state = std::move(fresh);
}

void DrawPicture(PictureState& state, const Scene& scene, EditQueue& edits, PicturePainter& painter,
                 const ScreenRect& area) {
  const Picture& picture = scene.player.shown();
  const ShownPicture shown = ShownPicture::Of(picture);
  const Placement place{shown, state.view.Placed(shown, area)};
  Operate(state, scene, edits, place, area);
  ChooseJustPut(state, scene);
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->PushClipRect({area.left, area.top}, {area.right, area.bottom}, true);
  if (picture.empty()) {
    PaintNotice(scene, list, area, Missing(scene));
  } else if (scene.player.exact() && state.drawings) {
    const Placement now{shown, state.view.Placed(shown, area)};
    PaintShapes(scene.look, list, ShapesOf(state, scene), now.placed.OfSq(shown));
    PaintHelp(state, scene, list, now);
  }
  if (scene.wishes.side_labels && !picture.empty())
    PaintSideLabels(scene.look, list, SideLabels(scene.view.record, scene.player.playhead().recording, shown),
                    state.view.Placed(shown, area), area);
  if (!picture.empty()) DrawMagnifier(state, scene, painter, area);
  PaintTool(state, scene, list, area);
  PaintLookWords(state, scene, list, area);
  list->PopClipRect();
}

}  // namespace afterscope
