// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/parts.hpp"
#include "metrics/picture/shown_picture.hpp"

#include <fmt/format.h>

#include <cmath>

namespace afterscope {

namespace {

constexpr double kInset = 0.04;  // from the corner, as a share of the picture's height

}  // namespace

void AddScaleBar(const ScaleBarView& bar, const RecordingShape& recording,
                 const std::optional<ShownPicture::Spot>& corner, ShapeList& shapes) {
  if (!(bar.length_sq > 0) || !std::isfinite(bar.length_sq) || recording.height <= 0) return;
  const ShownPicture shown =
      ShownPicture::Of(recording.width, recording.height, recording.pixel_aspect, recording.rotation_deg);
  const auto at = [&](double x, double y) { return SqFromPx(shown.PxAt({x, y}), shown.aspect); };
  const double inset = kInset * shown.Height();
  const ShownPicture::Spot from = corner.value_or(ShownPicture::Spot{0, shown.Height()});
  const double start = from.x + inset;
  const double y = from.y - inset;
  const double tick = 0.012 * shown.Height();
  const double end = start + bar.length_sq;
  shapes.emplace_back(PolylineShape{
      Role::kRuler, {at(start, y - tick), at(start, y), at(end, y), at(end, y - tick)}, false, false, 1.6});
  shapes.emplace_back(TextShape{Role::kRuler, at((start + end) / 2, y - 1.4 * tick),
                                fmt::format("{:g} mm", bar.mm), 9, 0.5, 1});
}

}  // namespace afterscope
