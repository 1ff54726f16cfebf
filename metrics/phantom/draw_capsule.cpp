// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/draw_pupil.hpp"
#include "metrics/phantom/truth.hpp"
#include "metrics/phantom/turn.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {
namespace {

constexpr int kArcPoints = 72;

struct Seen {
  const Placement& eye;
  double magnification;
  PointSq Of(PointMm p) const { return eye.Of(p, magnification); }
};

std::vector<PointSq> Arc(const PolarShape& edge, double from, double sweep, const Seen& seen) {
  std::vector<PointSq> points;
  const int count = std::max(2, static_cast<int>(kArcPoints * std::abs(sweep) / (2 * kPi)) + 1);
  for (int i = 0; i <= count; ++i) points.push_back(seen.Of(edge.At(from + sweep * i / count)));
  return points;
}

PointSq Mirrored(PointSq p, PointSq a, PointSq b) {
  const OffsetSq along = (b - a) / std::max(Distance(a, b), 1e-9);
  const OffsetSq d = p - a;
  return a + (2 * Dot(d, along)) * along - d;
}

// The freed capsule, folded over along a line from the point of the tear.
void DrawFlap(const std::vector<PointSq>& torn, const Placement& eye, Patch& inside) {
  const PointSq tear = torn.back();
  const std::size_t span = std::min<std::size_t>(torn.size() - 1, kArcPoints * 3 / 8);
  const PointSq hinge = torn[torn.size() - 1 - span];
  std::vector<PointSq> flap;
  for (std::size_t i = torn.size() - 1 - span; i < torn.size(); ++i) {
    PointSq p = Mirrored(torn[i], hinge, tear);
    // Crumpled: not the mirror image to the millimetre.
    p = Lerp(p, Lerp(hinge, tear, 0.5), 0.14 + 0.07 * std::sin(0.55 * static_cast<double>(i)));
    flap.push_back(p);
  }
  cv::Mat cover;
  CoverPolygon(flap, inside, cover);
  PaintColour({196, 206, 216}, 0.26, cover, inside.pixels);
  CoverUnevenLine(flap, false, 0.07 * eye.px_per_mm + 0.3, 1.0, inside, cover);
  PaintColour({222, 230, 238}, 0.7, cover, inside.pixels);
  CoverLine({hinge, tear}, false, 0.08 * eye.px_per_mm + 0.3, inside, cover);
  PaintColour({46, 56, 96}, 0.5, cover, inside.pixels);
}

void DrawEdge(const std::vector<PointSq>& points, bool closed, const Placement& eye, Patch& inside) {
  cv::Mat cover;
  CoverUnevenLine(points, closed, std::max(1.0, 0.12 * eye.px_per_mm), 0.4, inside, cover);
  PaintColour({48, 54, 84}, 0.45, cover, inside.pixels);
  CoverUnevenLine(points, closed, std::max(0.6, 0.05 * eye.px_per_mm), 2.1, inside, cover);
  PaintColour({204, 216, 232}, 0.6, cover, inside.pixels);
}

}  // namespace

void DrawCapsule(const Scene& scene, const Script& script, const Placement& eye, double seconds,
                 Patch& inside) {
  const double torn = script.torn.At(seconds);
  if (torn <= 0.005) return;
  const PolarShape& edge = RhexisShape(scene);
  const Seen seen{eye, scene.eye.Magnification(script.capsule_depth_mm.At(seconds))};
  if (torn < 0.999) {
    const auto arc = Arc(edge, script.tear_start, script.tear_direction * torn * 2 * kPi, seen);
    DrawEdge(arc, false, eye, inside);
    if (seconds < script.flap_gone_s) DrawFlap(arc, eye, inside);
    return;
  }
  // What is left of the capsule outside of the opening is a little less clear.
  cv::Mat cover;
  CoverInside(edge, eye, seen.magnification, 1, inside, cover);
  cv::bitwise_not(cover, cover);
  PaintColour({150, 166, 186}, 0.13, cover, inside.pixels);
  std::vector<PointSq> whole;
  whole.reserve(180);
  for (int i = 0; i < 180; ++i) whole.push_back(seen.Of(edge.At(i * kPi / 90)));
  DrawEdge(whole, true, eye, inside);
}

}  // namespace afterscope::phantom
