// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/magnifier_panel.hpp"

#include "app/desktop/picture/magnifier.hpp"
#include "app/desktop/picture/shape_painter.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr float kSide = 220;
constexpr float kCross = 9;

void DrawFrame(const Look& look, ImDrawList* list, const ScreenRect& area, ImVec2 pointer) {
  list->AddRect({area.left, area.top}, {area.right, area.bottom}, Ink(kCasing, 0.8), 0, 0, look.Px(3));
  list->AddRect({area.left, area.top}, {area.right, area.bottom}, Ink(kWhite, 0.9), 0, 0, look.Px(1));
  const float r = look.Px(kCross);
  const float gap = look.Px(3);
  for (const ImVec2 way : {ImVec2{1, 0}, ImVec2{-1, 0}, ImVec2{0, 1}, ImVec2{0, -1}}) {
    const ImVec2 from{pointer.x + gap * way.x, pointer.y + gap * way.y};
    const ImVec2 to{pointer.x + r * way.x, pointer.y + r * way.y};
    list->AddLine(from, to, Ink(kCasing, 0.7), look.Px(3));
    list->AddLine(from, to, Ink(kWhite), look.Px(1));
  }
}

}  // namespace

void DrawMagnifier(PictureState& state, const Scene& scene, PicturePainter& painter, const ScreenRect& area) {
  if (!state.look.magnifier || !state.hovered || state.pans) return;
  const ImVec2 pointer = ImGui::GetIO().MousePos;
  const ShownPicture shown = ShownPicture::Of(scene.player.shown());
  const float side = std::min({scene.look.Px(kSide), area.Width(), area.Height()});
  const auto [square, placed] = MagnifiedAt(state.view.Placed(shown, area), pointer.x, pointer.y, side, area);
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled({square.left, square.top}, {square.right, square.bottom},
                      Ink(scene.look.colours.surround));
  state.magnified = {&painter, placed, square};
  PaintLater(list, state.magnified);
  if (scene.player.exact() && state.drawings) {
    list->PushClipRect({square.left, square.top}, {square.right, square.bottom}, true);
    PaintShapes(scene.look, list, state.shapes, placed.OfSq(shown));
    list->PopClipRect();
  }
  DrawFrame(scene.look, list, square, pointer);
}

}  // namespace afterscope
