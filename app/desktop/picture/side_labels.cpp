// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/side_labels.hpp"

#include "annotate/jobs/geometry_view.hpp"
#include "metrics/eye/orientation.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kFromEdge = 0.08;  // of the picture's shorter side

// Where the way from the middle meets a frame a little inside the picture's edges.
ShownPicture::Spot AtEdge(const ShownPicture& shown, PointSq middle, OffsetSq way) {
  const double inside = kFromEdge * std::min(shown.Width(), shown.Height());
  const ShownPicture::Spot from{shown.Width() / 2, shown.Height() / 2};
  const ShownPicture::Spot to = shown.FromSq(middle + way);
  const ShownPicture::Spot centre = shown.FromSq(middle);
  const double dx = to.x - centre.x;
  const double dy = to.y - centre.y;
  const double reach = std::min((from.x - inside) / std::max(1e-9, std::abs(dx)),
                                (from.y - inside) / std::max(1e-9, std::abs(dy)));
  return {from.x + reach * dx, from.y + reach * dy};
}

}  // namespace

std::vector<SideLabel> SideLabels(const CaseRecord& record, int recording, const ShownPicture& shown) {
  const auto orientation = OrientationOf(record, recording);
  if (!orientation || shown.width_px <= 0 || shown.height_px <= 0) return {};
  std::vector<SideLabel> labels;
  const PointSq middle = SqFromPx(shown.PxAt({shown.Width() / 2, shown.Height() / 2}), shown.aspect);
  const auto add = [&](const char* word, Angle direction) {
    labels.push_back({word, AtEdge(shown, middle, PictureFromDial(*orientation, direction))});
  };
  add("superior", Angle::Degrees(90));
  add("inferior", Angle::Degrees(270));
  if (record.eye == Eye::kUnknown) return labels;
  const Angle temporal = TemporalDirection(record.eye == Eye::kRight);
  add("temporal", temporal);
  add("nasal", temporal + Angle::Degrees(180));
  return labels;
}

void PaintSideLabels(const Look& look, ImDrawList* list, const std::vector<SideLabel>& labels,
                     const ScreenFromShown& placed, const ScreenRect& area) {
  for (const SideLabel& label : labels) {
    const ImVec2 size = look.script->Size(look.fonts.strong, label.word);
    const float side = look.Px(10);  // whole, also where the picture is small or has been drawn nearer
    const auto within = [side](double middle, float length, float low, float high) {
      const float start = static_cast<float>(middle) - length / 2;
      return std::round(std::max(low + side, std::min(start, high - side - length)));
    };
    const ImVec2 at{within(placed.X(label.at), size.x, area.left, area.right),
                    within(placed.Y(label.at), size.y, area.top, area.bottom)};
    list->AddRectFilled({at.x - look.Px(8), at.y - look.Px(4)},
                        {at.x + size.x + look.Px(8), at.y + size.y + look.Px(4)},
                        Ink(look.colours.sheet, 0.88), look.Px(4));
    look.script->Draw(list, look.fonts.strong, at, Ink(look.colours.text), label.word);
  }
}

}  // namespace afterscope
