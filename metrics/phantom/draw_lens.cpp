// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/draw_pupil.hpp"
#include "metrics/phantom/truth.hpp"
#include "metrics/phantom/turn.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {
namespace {

// A curved arm from the optic's edge to 6.5 mm from the middle, straightening as the lens opens.
std::vector<PointSq> Arm(PointMm centre, double radius, double start, double open, const Placement& eye,
                         double magnification) {
  std::vector<PointSq> points;
  for (int i = 0; i <= 16; ++i) {
    const double share = i / 16.0;
    const double r = radius * (0.97 + (0.35 + 0.75 * open) * share);
    const double angle = start + (0.35 + 0.95 * open) * share;
    points.push_back(eye.Of({centre.x + r * std::cos(angle), centre.y + r * std::sin(angle)}, magnification));
  }
  return points;
}

}  // namespace

void DrawLens(const Scene& scene, const Script& script, const Placement& eye, double seconds, Patch& inside) {
  const double out = script.lens_out.At(seconds);
  if (out <= 0.02) return;
  const double magnification = scene.eye.OpticMagnification();
  const double open = script.lens_open.At(seconds);
  const double radius = scene.eye.optic_diameter_mm / 2;
  const double axis = scene.main_incision_deg * kPi / 180 + script.lens_turn.At(seconds);
  const PointMm centre = script.lens_centre.At(seconds);
  // Rolled up it is long along its way in and narrow across.
  const double across = radius * (0.3 + 0.7 * open);
  const double along = radius * (0.25 + 0.75 * std::min(1.0, 1.4 * out));
  const PolarShape optic = RippledEllipse(centre, std::max(along, across), across, axis, {});
  cv::Mat cover;
  CoverInside(optic, eye, magnification, 1, inside, cover);
  PaintColour({128, 140, 214}, 0.16 + 0.3 * (1 - open), cover, inside.pixels);
  std::vector<PointSq> edge;
  edge.reserve(180);
  for (int i = 0; i < 180; ++i) edge.push_back(eye.Of(optic.At(i * kPi / 90), magnification));
  CoverUnevenLine(edge, true, std::max(1.0, 0.14 * eye.px_per_mm), 3.0, inside, cover);
  PaintColour({30, 34, 66}, 0.6, cover, inside.pixels);
  CoverUnevenLine(edge, true, std::max(0.7, 0.05 * eye.px_per_mm), 5.0, inside, cover);
  PaintColour({206, 214, 236}, 0.75, cover, inside.pixels);
  for (const double side : {0.0, kPi}) {
    const auto arm = Arm(centre, radius, axis + side + 0.4, open, eye, magnification);
    CoverLine(arm, false, std::max(1.0, 0.24 * eye.px_per_mm), inside, cover);
    PaintColour({40, 46, 70}, 0.75, cover, inside.pixels);
    CoverLine(arm, false, std::max(0.7, 0.08 * eye.px_per_mm), inside, cover);
    PaintColour({205, 214, 226}, 0.8, cover, inside.pixels);
  }
  // A glint that crosses it as it unfolds.
  const PointMm glint{centre.x + (2 * open - 1) * 1.6, centre.y - 0.7};
  const PointSq at = eye.Of(glint, magnification);
  AddGlow({255, 250, 245}, {at.x - inside.origin.x, at.y - inside.origin.y}, 0.14 * eye.px_per_mm,
          open < 1 ? 1.1 : 0.25, inside.pixels);
}

}  // namespace afterscope::phantom
