// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/verify/picture_check.hpp"

#include "annotate/jobs/measure/eye_focus.hpp"
#include "metrics/phantom/true_shape.hpp"
#include "metrics/series/quantiles.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace afterscope {
namespace {

// What is accepted. Limbus and pupil: so that a finding in millimetres is not led by it; tip: a third of a
// forceps' jaw. No source; what this program asks of itself.
constexpr double kLimbusPercent = 1, kPupilPercent = 2, kCentrePercent = 3;
constexpr double kMotionMm = 0.1, kZoomPercent = 1;
// A picture blurred by less than the first (standard deviation, pixels) is sharp, by more than the second
// not; what lies between may be either.
constexpr double kSharpBlurPx = 0.2, kBlurredPx = 1.5, kFocusPercent = 95;
constexpr double kTipMm = 0.15, kTipWrongMm = 0.3;
constexpr double kTipKeptPercent = 95, kTipBelievedPercent = 85, kTipWrongPercent = 1;

// In square pixels of the decoded picture, as the followed eye is.
struct TrueRing {
  PointSq centre;
  double diameter = 0;  // of the circle of its area
};

TrueRing RingOf(const std::vector<PointMm>& outline, const phantom::Placement& eye, double magnification) {
  const phantom::ShapeFacts facts = phantom::FactsOf(outline);
  return {eye.Of(facts.centroid, magnification),
          facts.equivalent_diameter_mm * magnification * eye.px_per_mm};
}

// Followed places are in picture pixels times the aspect, whose origin is the middle of the first pixel.
PointPx FoundPlace(const phantom::Scene& scene, PointSq p) {
  const PointPx px = phantom::PxOf(scene, p);
  return {px.x * scene.pixel_aspect.value(), px.y};
}

double Percent(double found, double truth) { return 100 * std::abs(found / truth - 1); }

struct Errors {
  std::vector<double> limbus, pupil, centre, motion, zoom;
};

void AddSight(const phantom::Phantom& phantom, const EyeSight& sight, double seconds, Errors& out) {
  const phantom::Scene& scene = phantom.scene();
  const phantom::InstantTruth truth = phantom.Truth(seconds);
  if (sight.eye.limbus.trust >= kLeastTrust) {
    const TrueRing limbus = RingOf(scene.eye.Limbus().Polygon(), truth.eye, 1);
    out.limbus.push_back(Percent(sight.eye.limbus.ellipse.MeanDiameter(), limbus.diameter));
    out.centre.push_back(100 * Distance(sight.eye.limbus.ellipse.center, FoundPlace(scene, limbus.centre)) /
                         limbus.diameter);
  }
  if (sight.eye.pupil.trust >= kLeastTrust) {
    const TrueRing pupil = RingOf(phantom::PupilShape(scene, truth.pupil_mm).Polygon(), truth.eye,
                                  scene.eye.CapsuleMagnification());
    out.pupil.push_back(Percent(sight.eye.pupil.ellipse.MeanDiameter(), pupil.diameter));
  }
}

void AddMotion(const phantom::Phantom& phantom, const PhantomFrames& frames, const FollowedEye& eye,
               Errors& out) {
  const auto start = frames.SecondsOf({eye.recording, eye.reference});
  if (!start) return;
  const phantom::Scene& scene = phantom.scene();
  const phantom::Placement reference = phantom.Truth(*start).eye;
  // The place on the eye that the reference frame's centre stands for is taken along by the true motion.
  const PointPx origin = eye.reference_eye.limbus.ellipse.center;
  const PointMm on_eye =
      reference.Back(phantom::SqOf(scene, {origin.x / scene.pixel_aspect.value(), origin.y}));
  for (const EyeAtFrame& frame : eye.frames) {
    const auto seconds = frames.SecondsOf(frame.at);
    if (!seconds || frame.pose.trust < kLeastTrust) continue;
    const phantom::Placement truth = phantom.Truth(*seconds).eye;
    out.motion.push_back(Distance(frame.pose.origin, FoundPlace(scene, truth.Of(on_eye))) / truth.px_per_mm);
    out.zoom.push_back(Percent(frame.pose.zoom, truth.px_per_mm / reference.px_per_mm));
  }
}

PictureCheck CheckOf(const char* what, const std::vector<double>& errors, double share, double limit,
                     const char* unit) {
  PictureCheck out{what, 0, limit, false, unit, errors.size()};
  if (const auto value = Quantile(errors, share); value.ok()) out.value = *value;
  return out;
}

// Of the sights that are sharp (or blurred) for certain: which share counts as what it is.
void AddFocus(const phantom::Phantom& phantom, const PhantomFrames& frames, const FollowedEye& eye,
              std::vector<PictureCheck>& out) {
  const auto limit = FocusLimit(eye);
  PictureCheck sharp{"sharp sights that count as in focus", 0, kFocusPercent, true, "%", 0},
      blurred{"blurred sights that don't", 0, kFocusPercent, true, "%", 0};
  for (const EyeSight& sight : eye.sights) {
    const auto seconds = frames.SecondsOf(sight.at);
    if (!limit || !seconds || !(sight.sharpness > 0)) continue;
    const double blur = phantom.Truth(*seconds).blur_px;
    if (blur > kSharpBlurPx && blur < kBlurredPx) continue;
    PictureCheck& check = blur <= kSharpBlurPx ? sharp : blurred;
    ++check.frames;
    check.value += (sight.sharpness > *limit) == (blur <= kSharpBlurPx);
  }
  for (PictureCheck* check : {&sharp, &blurred}) {
    if (check == &blurred && check->frames == 0) continue;  // it was never out of focus
    if (check->frames > 0) check->value *= 100.0 / static_cast<double>(check->frames);
    out.push_back(*check);
  }
}

}  // namespace

std::vector<PictureCheck> CheckEye(const phantom::Phantom& phantom, const PhantomFrames& frames,
                                   const FollowedEye& eye) {
  Errors errors;
  for (const EyeSight& sight : eye.sights)
    if (const auto seconds = frames.SecondsOf(sight.at)) AddSight(phantom, sight, *seconds, errors);
  AddMotion(phantom, frames, eye, errors);
  std::vector<PictureCheck> out{
      CheckOf("limbus diameter, median error", errors.limbus, 0.5, kLimbusPercent, "%"),
      CheckOf("limbus centre, median error of its diameter", errors.centre, 0.5, kCentrePercent, "%"),
      CheckOf("pupil diameter, median error", errors.pupil, 0.5, kPupilPercent, "%"),
      CheckOf("motion of the eye, 95th per cent error", errors.motion, 0.95, kMotionMm, "mm"),
      CheckOf("zoom, 95th per cent error", errors.zoom, 0.95, kZoomPercent, "%")};
  AddFocus(phantom, frames, eye, out);
  return out;
}

std::vector<PictureCheck> CheckTip(const phantom::Phantom& phantom, const PhantomFrames& frames,
                                   const FollowedTrail& trail) {
  const phantom::Scene& scene = phantom.scene();
  std::size_t visible = 0, kept = 0, believed = 0, wrong = 0;
  for (const FollowedTip& tip : trail.tips) {
    const auto seconds = frames.SecondsOf(tip.at);
    if (!seconds) continue;
    const phantom::InstantTruth truth = phantom.Truth(*seconds);
    for (const phantom::ToolTruth& tool : truth.tools) {
      if (tool.tool != phantom::Tool::kForceps || !tool.in_eye) continue;
      ++visible;
      if (!tip.tip) continue;
      const double off =
          Distance(phantom::SqOf(scene, *tip.tip), phantom::SqOf(scene, tool.tip)) / truth.eye.px_per_mm;
      kept += off <= kTipMm;
      if (tip.confidence < trail.least_confidence && !tip.by_hand) continue;
      ++believed;
      wrong += off > kTipWrongMm;
    }
  }
  const auto share = [](std::size_t part, std::size_t of) {
    return of > 0 ? 100.0 * static_cast<double>(part) / static_cast<double>(of) : 0;
  };
  return {{"tip within 0.15 mm, of the frames in the eye", share(kept, visible), kTipKeptPercent, true, "%",
           visible},
          {"tip believed, of the frames in the eye", share(believed, visible), kTipBelievedPercent, true, "%",
           visible},
          {"tip off by over 0.3 mm, of the frames believed", share(wrong, believed), kTipWrongPercent, false,
           "%", believed}};
}

}  // namespace afterscope
