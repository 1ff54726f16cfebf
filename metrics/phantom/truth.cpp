// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/truth.hpp"

#include "metrics/phantom/shaft.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope::phantom {
namespace {

constexpr double kShaftPointMm = 4;

ToolTruth TruthOf(const Scene& scene, const Script& script, const Placement& eye, const ToolUse& use,
                  double seconds) {
  ToolTruth truth;
  truth.tool = use.tool;
  truth.main_hand = use.main_hand;
  truth.in_eye = seconds >= use.enter_s && seconds < use.leave_s;
  const ShaftLine line = ShaftAt(scene, script, use, seconds);
  truth.tip_mm = line.tip_mm;
  truth.tip = PxOf(scene, eye.Of(line.tip_seen));
  truth.shaft = PxOf(scene, eye.Of(line.tip_seen + kShaftPointMm * line.towards_hand));
  return truth;
}

}  // namespace

PointPx PxOf(const Scene& scene, PointSq p) { return {(p.x + 0.5) / scene.pixel_aspect.value() - 0.5, p.y}; }

PointSq SqOf(const Scene& scene, PointPx p) { return {(p.x + 0.5) * scene.pixel_aspect.value() - 0.5, p.y}; }

InstantTruth TruthAt(const Scene& scene, const Script& script, double seconds) {
  InstantTruth truth;
  truth.seconds = seconds;
  truth.eye = EyePlacement(scene, script, seconds);
  truth.pupil_mm = script.pupil_mm.At(seconds);
  truth.blur_px = script.blur_px.At(seconds);
  for (const StepSpan& step : script.steps)
    if (seconds >= step.start_s && seconds < step.end_s) truth.step = step.key;
  for (const ToolUse& use : script.tools)
    if (seconds >= use.start_s && seconds < use.end_s)
      truth.tools.push_back(TruthOf(scene, script, truth.eye, use, seconds));
  return truth;
}

std::vector<PointPx> OutlinePx(const Scene& scene, const Placement& eye, const std::vector<PointMm>& outline,
                               double magnification) {
  std::vector<PointPx> points;
  points.reserve(outline.size());
  for (const PointMm p : outline) points.push_back(PxOf(scene, eye.Of(p, magnification)));
  return points;
}

PolarShape PupilShape(const Scene& scene, double pupil_mm) {
  Random random = Random(scene.seed).Fork(21);
  std::vector<Ripple> ripples;
  for (int order = 2; order <= 4; ++order)
    ripples.push_back({order, 0.006 * random.Normal(), 0.006 * random.Normal()});
  const double off = random.Between(0.0, 0.15);
  const double towards = random.Between(0, 2 * std::numbers::pi);
  return RippledEllipse({off * std::cos(towards), off * std::sin(towards)}, pupil_mm / 2, pupil_mm / 2, 0,
                        ripples);
}

PolarShape OpticShape(const Scene& scene, const Script& script, double seconds) {
  const double r = scene.eye.optic_diameter_mm / 2;
  return RippledEllipse(script.lens_centre.At(seconds), r, r, 0, {});
}

const PolarShape& RhexisShape(const Scene& scene) { return scene.rhexis; }

std::vector<PointMm> WoundEnds(const Scene& scene, bool main_incision) {
  const double degree = std::numbers::pi / 180;
  const double angle = (main_incision ? scene.main_incision_deg : scene.side_port_deg) * degree;
  const double width = main_incision ? scene.main_incision_mm : scene.side_port_mm;
  const PointMm on_limbus = scene.eye.Limbus().At(angle);
  const PointMm middle{0.97 * on_limbus.x, 0.97 * on_limbus.y};
  const OffsetMm along{-std::sin(angle), std::cos(angle)};
  return {middle - 0.5 * width * along, middle + 0.5 * width * along};
}

double PathLength(const std::vector<PointMm>& points) {
  double length = 0;
  for (std::size_t i = 1; i < points.size(); ++i) length += Distance(points[i - 1], points[i]);
  return length;
}

}  // namespace afterscope::phantom
