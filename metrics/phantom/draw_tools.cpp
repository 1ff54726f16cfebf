// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/draw_tools.hpp"

#include "metrics/phantom/shaft.hpp"
#include "metrics/phantom/tool_shape.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {
namespace {

// An instrument (or a branch of one) in the picture.
struct Stroke {
  const ToolShape* shape = nullptr;
  PointSq tip;
  OffsetSq axis;  // towards the hand, length 1
  double px_per_mm = 20;
  OffsetSq smear;        // how far the tip moves while the picture is exposed
  double wound_mm = -1;  // distance from the tip to the wound along the axis; what is nearer lies in the eye
};

Station StationAt(const ToolShape& shape, double from_tip_mm) {
  const auto& s = shape.stations;
  const auto after =
      std::find_if(s.begin(), s.end(), [&](const Station& x) { return x.from_tip_mm > from_tip_mm; });
  if (after == s.begin()) return s.front();
  if (after == s.end()) return s.back();
  const Station& a = *(after - 1);
  const Station& b = *after;
  const double t = (from_tip_mm - a.from_tip_mm) / (b.from_tip_mm - a.from_tip_mm);
  const auto mix = [t](double from, double to) { return from + t * (to - from); };
  return {from_tip_mm,       mix(a.width_mm, b.width_mm), mix(a.blue, b.blue),      mix(a.green, b.green),
          mix(a.red, b.red), mix(a.shine, b.shine),       mix(a.opacity, b.opacity)};
}

// Brightness across a polished round rod, -1 and 1 at its rims: dark rims, two bands of light.
double Polish(double across, double shine) {
  const double body = std::sqrt(std::max(0.0, 1 - 0.92 * across * across));
  const double line = std::exp(-(across + 0.28) * (across + 0.28) / 0.035);
  const double second = std::exp(-(across - 0.45) * (across - 0.45) / 0.02);
  return (1 - shine) * (0.75 + 0.25 * body) + shine * (0.42 * body + 0.95 * line + 0.3 * second);
}

// All that changes along the axis only, by pixel from the tip.
struct Slice {
  double half_px;
  Station look;
  double sparkle;
  double haze;
};

std::vector<Slice> SlicesOf(const Stroke& stroke, int length_px) {
  std::vector<Slice> slices;
  slices.reserve(static_cast<std::size_t>(length_px));
  for (int i = 0; i < length_px; ++i) {
    const double mm = i / stroke.px_per_mm;
    Slice slice;
    slice.look = StationAt(*stroke.shape, mm);
    slice.half_px = 0.5 * slice.look.width_mm * stroke.px_per_mm;
    const double end = slice.half_px;
    if (stroke.shape->round_end && i < end)
      slice.half_px = std::sqrt(std::max(0.0, end * end - (end - i) * (end - i)));
    slice.sparkle = 0.75 + 0.35 * std::sin(1.7 * mm + 1.0) * std::sin(0.53 * mm + 0.4);
    slice.haze = mm < stroke.wound_mm ? 0.2 : 0;
    slices.push_back(slice);
  }
  return slices;
}

bool InMouth(const ToolShape& shape, double along_mm, double across, double half_mm) {
  if (shape.open_end) {
    const double dx = (along_mm - 0.22) / 0.26;
    if (dx * dx + across * across / 0.5 < 1) return true;
  }
  if (shape.port_mm <= 0) return false;
  const double dx = (along_mm - shape.port_mm) / 0.17;
  const double dy = across * half_mm / 0.17;
  return dx * dx + dy * dy < 1;
}

void PaintPixel(const Stroke& stroke, const Slice& slice, double along, double across_px, double cover,
                double light, Bgr& pixel) {
  const double across = slice.half_px > 0 ? std::clamp(across_px / slice.half_px, -1.0, 1.0) : 0;
  double shade = Polish(across, slice.look.shine) * slice.sparkle;
  if (InMouth(*stroke.shape, along / stroke.px_per_mm, across, 0.5 * slice.look.width_mm)) shade *= 0.22;
  const double body[3] = {slice.look.blue, slice.look.green, slice.look.red};
  constexpr double kHaze[3] = {120, 130, 138};
  const double opacity = cover * slice.look.opacity;
  for (int k = 0; k < 3; ++k) {
    const double bright = (1 - slice.haze) * std::min(255.0, 1.25 * body[k] * shade) + slice.haze * kHaze[k];
    pixel[k] = cv::saturate_cast<std::uint8_t>(pixel[k] + opacity * (light * bright - pixel[k]));
  }
}

// Calls `paint(pixel, along_px, across_px, gain)` for what may lie under the stroke.
template <class Paint>
void ForStrip(const Stroke& stroke, double most_half_px, int length_px, const cv::Mat& gain, cv::Mat& picture,
              const Paint& paint) {
  const OffsetSq normal{-stroke.axis.y, stroke.axis.x};
  for (int y = 0; y < picture.rows; ++y) {
    const double dy = y - stroke.tip.y;
    // Where along the row the strip lies: |across| <= most and -most <= along <= length.
    double low = 0;
    double high = picture.cols - 1;
    const auto clip = [&](double slope, double at, double least,
                          double most) {  // least <= at + slope * dx <= most
      if (std::abs(slope) < 1e-9) {
        if (at < least || at > most) high = -1;
        return;
      }
      const double a = (least - at) / slope + stroke.tip.x;
      const double b = (most - at) / slope + stroke.tip.x;
      low = std::max(low, std::min(a, b));
      high = std::min(high, std::max(a, b));
    };
    clip(normal.x, normal.y * dy, -most_half_px, most_half_px);
    clip(stroke.axis.x, stroke.axis.y * dy, -4 - std::abs(Dot(stroke.smear, stroke.axis)), length_px - 1.0);
    auto* row = picture.ptr<Bgr>(y);
    const auto* light = gain.ptr<std::uint8_t>(y);
    for (int x = static_cast<int>(std::ceil(std::max(0.0, low))); x <= high; ++x) {
      const OffsetSq d = PointSq{static_cast<double>(x), static_cast<double>(y)} - stroke.tip;
      paint(row[x], Dot(d, stroke.axis), Dot(d, normal), light[x] / 255.0);
    }
  }
}

int LengthPx(const cv::Mat& picture) { return static_cast<int>(std::hypot(picture.cols, picture.rows)); }

void DrawStroke(const Stroke& stroke, const cv::Mat& gain, cv::Mat& picture) {
  const int length = LengthPx(picture);
  const std::vector<Slice> slices = SlicesOf(stroke, length);
  const double most = std::max_element(slices.begin(), slices.end(), [](const Slice& a, const Slice& b) {
                        return a.half_px < b.half_px;
                      })->half_px;
  const double soft_across = 1 + std::abs(Cross(stroke.smear, stroke.axis));
  const double soft_along = 1 + std::abs(Dot(stroke.smear, stroke.axis));
  ForStrip(stroke, most + soft_across, length, gain, picture,
           [&](Bgr& pixel, double along, double across, double light) {
             const double at_tip = std::clamp(0.5 + along / soft_along, 0.0, 1.0);
             if (at_tip <= 0) return;
             const auto& slice = slices[static_cast<std::size_t>(std::clamp(along, 0.0, length - 1.0))];
             const double cover =
                 at_tip * std::clamp(0.5 + (slice.half_px - std::abs(across)) / soft_across, 0.0, 1.0);
             if (cover > 0) PaintPixel(stroke, slice, along, across, cover, light, pixel);
           });
}

// A soft dark copy beside it, only for what is near the wound or in the eye.
void DrawShadow(const Stroke& stroke, double offset_px, const cv::Mat& gain, cv::Mat& picture) {
  Stroke shadow = stroke;
  shadow.tip = stroke.tip + OffsetSq{0.7 * offset_px, offset_px};
  const int length =
      std::min(LengthPx(picture), static_cast<int>(std::max(6.0, stroke.wound_mm + 4) * stroke.px_per_mm));
  const std::vector<Slice> slices = SlicesOf(shadow, length);
  ForStrip(shadow, 2.2 * stroke.px_per_mm, length, gain, picture,
           [&](Bgr& pixel, double along, double across, double) {
             const auto& slice = slices[static_cast<std::size_t>(std::clamp(along, 0.0, length - 1.0))];
             const double soft = 0.35 * stroke.px_per_mm;
             const double fade = std::clamp((length - along) / (2 * stroke.px_per_mm), 0.0, 1.0) *
                                 std::clamp(0.5 + along / soft, 0.0, 1.0);
             const double dark =
                 0.3 * fade * std::clamp(0.5 + (slice.half_px - std::abs(across)) / soft, 0.0, 1.0);
             for (int k = 0; k < 3; ++k) pixel[k] = static_cast<std::uint8_t>(pixel[k] * (1 - dark));
           });
}

Stroke StrokeOf(const Scene& scene, const Script& script, const Placement& eye, const ToolUse& use,
                double seconds, double exposure_s, const ToolShape& shape) {
  const ShaftLine line = ShaftAt(scene, script, use, seconds);
  Stroke stroke;
  stroke.shape = &shape;
  stroke.tip = eye.Of(line.tip_seen);
  stroke.axis = (eye.Of(line.tip_seen + line.towards_hand) - stroke.tip) / eye.px_per_mm;
  stroke.px_per_mm = eye.px_per_mm;
  const PointSq before = eye.Of(ShaftAt(scene, script, use, seconds - exposure_s / 2).tip_seen);
  const PointSq after = eye.Of(ShaftAt(scene, script, use, seconds + exposure_s / 2).tip_seen);
  stroke.smear = after - before;
  stroke.wound_mm = Dot(use.pivot - line.tip_seen, line.towards_hand);
  return stroke;
}

void DrawUse(const Scene& scene, const Script& script, const Placement& eye, const ToolUse& use,
             double seconds, double exposure_s, const cv::Mat& gain, cv::Mat& picture) {
  const bool blade = use.tool == Tool::kKeratome || use.tool == Tool::kSidePortBlade;
  const ToolShape cut =
      blade ? BladeOf(use.tool, use.tool == Tool::kKeratome ? scene.main_incision_mm : scene.side_port_mm)
            : ToolShape{};
  const Stroke stroke =
      StrokeOf(scene, script, eye, use, seconds, exposure_s, blade ? cut : ShapeOf(use.tool));
  DrawShadow(stroke, 0.45 * eye.px_per_mm, gain, picture);
  if (use.tool != Tool::kForceps) return DrawStroke(stroke, gain, picture);
  // Two branches that meet 14 mm from the tips; the tip is the middle between their ends.
  const double half = 0.5 * use.opening_mm.At(seconds) * eye.px_per_mm + 0.12 * eye.px_per_mm;
  for (const double side : {-1.0, 1.0}) {
    Stroke branch = stroke;
    const OffsetSq normal{-stroke.axis.y, stroke.axis.x};
    branch.tip = stroke.tip + side * half * normal;
    const PointSq joint = stroke.tip + 16 * eye.px_per_mm * stroke.axis + side * 0.5 * eye.px_per_mm * normal;
    branch.axis = (joint - branch.tip) / Distance(joint, branch.tip);
    DrawStroke(branch, gain, picture);
  }
}

}  // namespace

void DrawTools(const Scene& scene, const Script& script, const Placement& eye, double seconds,
               double exposure_s, const cv::Mat& gain, cv::Mat& picture) {
  for (const ToolUse& use : script.tools)
    if (seconds >= use.start_s && seconds < use.end_s)
      DrawUse(scene, script, eye, use, seconds, exposure_s, gain, picture);
}

}  // namespace afterscope::phantom
