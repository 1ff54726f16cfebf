// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/draw_surface.hpp"

#include "metrics/phantom/random.hpp"
#include "metrics/phantom/truth.hpp"
#include "metrics/phantom/turn.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {
namespace {

void DrawWound(const Scene& scene, const Placement& eye, bool main_incision, double since_s,
               cv::Mat& picture) {
  const std::vector<PointMm> ends = WoundEnds(scene, main_incision);
  const PointMm middle = Lerp(ends[0], ends[1], 0.5);
  Patch patch = PatchAround(picture, eye.Of(middle), 2.5 * eye.px_per_mm);
  if (patch.pixels.empty()) return;
  const PointMm outward = PointMm{} + (middle - PointMm{}) * 1.06;
  cv::Mat cover = cv::Mat::zeros(patch.pixels.size(), CV_8U);
  const PointSq blood = eye.Of(outward);
  const double spread = std::min(1.0, since_s / 4);
  cv::ellipse(cover,
              cv::RotatedRect({static_cast<float>(blood.x - patch.origin.x),
                               static_cast<float>(blood.y - patch.origin.y)},
                              {static_cast<float>(1.5 * spread * eye.px_per_mm + 1),
                               static_cast<float>(0.7 * spread * eye.px_per_mm + 1)},
                              static_cast<float>(std::atan2(middle.y, middle.x) * 180 / kPi + 90)),
              cv::Scalar(255), -1, cv::LINE_AA);
  cv::GaussianBlur(cover, cover, {}, 0.3 * eye.px_per_mm);
  PaintColour({44, 36, 168}, main_incision ? 0.5 : 0.25, cover, patch.pixels);
  CoverLine({eye.Of(ends[0]), eye.Of(ends[1])}, false, 0.16 * eye.px_per_mm, patch, cover);
  PaintColour({66, 70, 104}, 0.75, cover, patch.pixels);
}

void DrawBubble(const Placement& eye, PointMm at, double radius_mm, cv::Mat& picture) {
  Patch patch = PatchAround(picture, eye.Of(at), (radius_mm + 0.4) * eye.px_per_mm);
  if (patch.pixels.empty()) return;
  std::vector<PointSq> ring;
  ring.reserve(60);
  for (int i = 0; i < 60; ++i)
    ring.push_back(
        eye.Of({at.x + radius_mm * std::cos(i * kPi / 30), at.y + radius_mm * std::sin(i * kPi / 30)}));
  cv::Mat cover;
  CoverLine(ring, true, 0.13 * eye.px_per_mm, patch, cover);
  PaintColour({44, 52, 60}, 0.6, cover, patch.pixels);
  for (PointSq& p : ring) p = Lerp(p, eye.Of(at), 0.16);
  CoverLine(ring, true, 0.09 * eye.px_per_mm, patch, cover);
  PaintColour({214, 222, 226}, 0.6, cover, patch.pixels);
  AddGlow({255, 255, 255}, eye.Of({at.x - 0.2 * radius_mm, at.y - 0.2 * radius_mm}),
          0.16 * radius_mm * eye.px_per_mm + 0.4, 1, picture);
}

void DrawGlint(const Placement& eye, PointMm at, double radius_mm, cv::Mat& picture) {
  const PointSq p = eye.Of(at);
  AddGlow({70, 40, 26}, p, 2.2 * radius_mm * eye.px_per_mm, 1, picture);
  AddGlow({255, 255, 255}, p, 0.62 * radius_mm * eye.px_per_mm, 1.6, picture);
}

}  // namespace

void DrawWounds(const Scene& scene, const Script& script, const Placement& eye, double seconds,
                cv::Mat& picture) {
  if (seconds > script.side_port_s) DrawWound(scene, eye, false, seconds - script.side_port_s, picture);
  if (seconds > script.main_incision_s)
    DrawWound(scene, eye, true, seconds - script.main_incision_s, picture);
}

void DrawBubblesAndGlints(const Scene& scene, const Script& script, const Placement& eye, double seconds,
                          cv::Mat& picture) {
  Random random = Random(scene.seed).Fork(71);
  const int bubbles = 1 + random.Below(3);
  for (int i = 0; i < bubbles; ++i) {
    const double angle = random.Between(0, 2 * kPi);
    const double r = random.Between(3.6, 4.9);
    const double size = random.Between(0.2, 0.62) * script.viscoelastic.At(seconds);
    if (size > 0.1) DrawBubble(eye, {r * std::cos(angle), r * std::sin(angle)}, size, picture);
  }
  // Reflections stay nearly where they are when the eye moves a little.
  const double tilt = 0.35;
  const OffsetMm slip = tilt * (script.eye_shift.At(seconds) - PointMm{});
  const PointMm first = PointMm{-1.55, -0.25} - slip;
  DrawGlint(eye, first, 0.16, picture);
  DrawGlint(eye, first + OffsetMm{0.42, 0.03}, 0.17, picture);
  DrawGlint(eye, PointMm{1.0, 3.9} - slip, 0.1, picture);
  DrawGlint(eye, PointMm{1.3, 3.92} - slip, 0.1, picture);
  DrawGlint(eye, PointMm{0.6, -4.1} - slip, 0.1, picture);
}

}  // namespace afterscope::phantom
