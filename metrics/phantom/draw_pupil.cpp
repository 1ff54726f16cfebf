// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/draw_pupil.hpp"

#include "metrics/phantom/eye_texture.hpp"
#include "metrics/phantom/truth.hpp"
#include "metrics/phantom/turn.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {
namespace {

constexpr double kPupilEdgeMm = 0.12;

void DrawCortex(const Script& script, const PupilTextures& textures, const Placement& eye,
                double magnification, double seconds, Patch& inside) {
  cv::Mat left(inside.pixels.size(), CV_8U, cv::Scalar(255));
  bool any = false;
  for (std::size_t i = 0; i < script.cortex.size(); ++i) {
    const double there = script.cortex[i].At(seconds);
    any = any || there > 0.01;
    if (there >= 1) continue;
    std::vector<cv::Point> sector;
    for (const double r : {0.0, 12.0})
      for (const double side : {-1.0, 1.0}) {
        const double angle = (static_cast<double>(i) * kPi / 4) + (r > 0 ? side : 0) * kPi / 8;
        const PointSq p = eye.Of({r * std::cos(angle), r * std::sin(angle)});
        sector.emplace_back(cvRound(p.x) - inside.origin.x, cvRound(p.y) - inside.origin.y);
      }
    cv::fillConvexPoly(left, sector, cv::Scalar(255 * there), cv::LINE_8);
  }
  if (!any) return;
  Patch density{cv::Mat(inside.pixels.size(), CV_8U), inside.origin};
  PlaceTexture(textures.cortex_density, eye, magnification, cv::Scalar(0), density);
  cv::multiply(density.pixels, left, density.pixels, 1.0 / 255);
  Patch white{cv::Mat(inside.pixels.size(), CV_8UC3), inside.origin};
  PlaceTexture(textures.cortex, eye, magnification, cv::Scalar(150, 170, 190), white);
  PaintImage(white.pixels, 0.55, density.pixels, inside.pixels);
}

// The ring of fluid that runs behind the nucleus.
void DrawWave(const Scene& scene, const Script& script, const Placement& eye, double magnification,
              double seconds, Patch& inside) {
  const double share = script.fluid_wave.At(seconds);
  if (share <= 0.01 || share >= 0.99) return;
  const double away = scene.main_incision_deg * kPi / 180 + kPi;
  std::vector<PointSq> front;
  for (double side = -1.2; side <= 1.21; side += 0.1) {
    const double distance = -5 + 9.5 * share - 1.2 * side * side;
    front.push_back(eye.Of({distance * std::cos(away) - 3.6 * side * std::sin(away),
                            distance * std::sin(away) + 3.6 * side * std::cos(away)},
                           magnification));
  }
  cv::Mat cover;
  CoverLine(front, false, 0.55 * eye.px_per_mm, inside, cover);
  PaintColour({60, 74, 120}, 0.45, cover, inside.pixels);
  CoverLine(front, false, 0.18 * eye.px_per_mm, inside, cover);
  PaintColour({190, 205, 225}, 0.5, cover, inside.pixels);
}

}  // namespace

PupilTextures MakePupilTextures(const Scene& scene) {
  PupilTextures textures;
  textures.reflex = ReflexTexture(scene);
  textures.nucleus = NucleusTexture(scene);
  textures.nucleus_density = NucleusDensity(scene);
  textures.cortex = CortexTexture(scene, textures.cortex_density.pixels);
  textures.cortex_density.px_per_mm = textures.cortex.px_per_mm;
  textures.cortex_density.half_mm = textures.cortex.half_mm;
  return textures;
}

void DrawPupil(const Scene& scene, const Script& script, const PupilTextures& textures, const Placement& eye,
               double seconds, cv::Mat& picture) {
  const double magnification = scene.eye.CapsuleMagnification();
  const PolarShape pupil = PupilShape(scene, script.pupil_mm.At(seconds));
  const double px = eye.px_per_mm * magnification;
  Patch seen = PatchAround(picture, eye.Of(pupil.centre, magnification),
                           (pupil.LargestRadius() + kPupilEdgeMm) * px + 2);
  if (seen.pixels.empty()) return;
  Patch inside{cv::Mat(seen.pixels.size(), CV_8UC3), seen.origin};
  PlaceTexture(textures.reflex, eye, magnification, cv::Scalar(40, 60, 170), inside);
  inside.pixels.convertTo(inside.pixels, -1, script.reflex.At(seconds));
  DrawCortex(script, textures, eye, magnification, seconds, inside);
  DrawNucleus(script, textures, magnification, eye, seconds, inside);
  DrawWave(scene, script, eye, magnification, seconds, inside);
  DrawLens(scene, script, eye, seconds, inside);
  DrawCapsule(scene, script, eye, seconds, inside);
  cv::Mat cover;
  CoverInside(pupil, eye, magnification, kPupilEdgeMm * px, seen, cover);
  PaintImage(inside.pixels, 1, cover, seen.pixels);
  std::vector<PointSq> rim;
  rim.reserve(180);
  for (int i = 0; i < 180; ++i) rim.push_back(eye.Of(pupil.At(i * kPi / 90), magnification));
  CoverLine(rim, true, 0.1 * px, seen, cover);
  PaintColour({26, 34, 44}, 0.35, cover, seen.pixels);
}

}  // namespace afterscope::phantom
