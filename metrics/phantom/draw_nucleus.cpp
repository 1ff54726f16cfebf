// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/draw_pupil.hpp"
#include "metrics/phantom/turn.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {
namespace {

constexpr double kRadiusMm = 4.6;

// The eye's placement with the nucleus moved, turned and shrunk about its own middle.
Placement Moved(const Placement& eye, double magnification, PointMm by, double turn, double size) {
  Placement moved = eye;
  moved.origin = eye.Of(by, magnification);
  moved.turn += turn;
  moved.px_per_mm *= size;
  return moved;
}

void DrawGrooves(const Placement& place, double magnification, double depth, const Patch& inside,
                 cv::Mat& cover) {
  cv::Mat groove = cv::Mat::zeros(cover.size(), CV_8U);
  cv::Mat line;
  const double reach = 2.6 * std::min(1.0, 1.6 * depth);
  for (const bool across : {false, true}) {
    if (across && depth < 0.55) continue;
    const PointMm end = across ? PointMm{0, reach} : PointMm{reach, 0};
    CoverLine({place.Of({-end.x, -end.y}, magnification), place.Of(end, magnification)}, false,
              0.75 * place.px_per_mm, inside, line);
    groove = cv::max(groove, line);
  }
  cv::GaussianBlur(groove, groove, {}, 0.1 * place.px_per_mm + 0.3);
  groove.convertTo(groove, -1, 0.7 * depth);
  cv::subtract(cover, groove, cover);
}

std::vector<PointSq> QuarterOutline(const Placement& place, double magnification, int quarter) {
  const double from = quarter * kPi / 2 + 0.03;
  std::vector<PointSq> outline{
      place.Of({0.08 * std::cos(from + kPi / 4), 0.08 * std::sin(from + kPi / 4)}, magnification)};
  for (int i = 0; i <= 10; ++i) {
    const double angle = from + (kPi / 2 - 0.06) * i / 10;
    const double r = kRadiusMm * (1 + 0.04 * std::sin(5 * angle + quarter));
    outline.push_back(place.Of({r * std::cos(angle), r * std::sin(angle)}, magnification));
  }
  return outline;
}

struct NucleusLook {
  Patch image;
  Patch density;
};

NucleusLook LookAt(const PupilTextures& textures, const Placement& place, double magnification,
                   const Patch& inside) {
  NucleusLook look{{cv::Mat(inside.pixels.size(), CV_8UC3), inside.origin},
                   {cv::Mat(inside.pixels.size(), CV_8U), inside.origin}};
  PlaceTexture(textures.nucleus, place, magnification, cv::Scalar(110, 140, 165), look.image);
  PlaceTexture(textures.nucleus_density, place, magnification, cv::Scalar(120), look.density);
  return look;
}

void DrawQuarter(const PupilTextures& textures, const Placement& place, double magnification, int quarter,
                 Patch& inside) {
  NucleusLook look = LookAt(textures, place, magnification, inside);
  const std::vector<PointSq> outline = QuarterOutline(place, magnification, quarter);
  cv::Mat cover;
  CoverPolygon(outline, inside, cover);
  cv::multiply(cover, look.density.pixels, cover, 1.0 / 255);
  PaintImage(look.image.pixels, 1, cover, inside.pixels);
  CoverUnevenLine(outline, true, 0.1 * place.px_per_mm, quarter, inside, cover);
  PaintColour({196, 208, 220}, 0.4, cover, inside.pixels);
}

}  // namespace

void DrawNucleus(const Script& script, const PupilTextures& textures, double magnification,
                 const Placement& eye, double seconds, Patch& inside) {
  const double turn = script.nucleus_turn.At(seconds);
  const double crack = script.crack.At(seconds);
  if (crack <= 0) {
    const Placement place = Moved(eye, magnification, {0, 0}, turn, 1);
    NucleusLook look = LookAt(textures, place, magnification, inside);
    const double groove = script.groove.At(seconds);
    if (groove > 0) DrawGrooves(place, magnification, groove, inside, look.density.pixels);
    PaintImage(look.image.pixels, 1, look.density.pixels, inside.pixels);
    return;
  }
  for (int i = 0; i < 4; ++i) {
    const double there = script.quarter[static_cast<std::size_t>(i)].At(seconds);
    if (there < 0.04) continue;
    // While it goes, the quarter comes to the tip in the middle and is eaten up.
    const double angle = turn + kPi / 4 + i * kPi / 2;
    const double out = 0.22 * crack + 0.3 * (1 - there);
    const PointMm by{out * std::cos(angle) * there, out * std::sin(angle) * there};
    const double size = 0.25 + 0.75 * there;
    DrawQuarter(textures, Moved(eye, magnification, by, turn + 1.1 * (1 - there), size), magnification, i,
                inside);
  }
}

}  // namespace afterscope::phantom
