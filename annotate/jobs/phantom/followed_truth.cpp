// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/followed_truth.hpp"

#include "annotate/jobs/phantom/ideal_reviewer.hpp"
#include "metrics/phantom/true_motion.hpp"
#include "metrics/phantom/true_shape.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kMotionStep = 0.005;    // seconds
constexpr double kOffCentreShare = 0.5;  // of the limbus' radius
constexpr double kLastingZoom = 0.03;    // less is no change of zoom
constexpr double kLeastStepSeconds =
    5;  // of which a step's pupil has a truth: a shorter one is seen too seldom
constexpr double kPupilLeastShare = 0.05;  // of the time

TrueValue OfFollowed(const std::string& name, double value, const std::string& unit) {
  return {name, value, unit, {}, {}, {}, {}, {}, {}};
}

const phantom::ToolUse* ForcepsIn(const phantom::Script& script, HalfOpen<double> stretch) {
  for (const phantom::ToolUse& use : script.tools)
    if (use.tool == phantom::Tool::kForceps && use.start_s <= stretch.start && stretch.end <= use.end_s)
      return &use;
  return nullptr;
}

void AddTipMotion(const phantom::Phantom& phantom, const FollowedTime& time, const PathBand& band,
                  std::vector<TrueValue>& out) {
  const phantom::Scene& scene = phantom.scene();
  const double magnification = scene.eye.CapsuleMagnification();
  double peak = 0, still = 0;
  int movements = 0;
  std::vector<PointMm> all;
  std::vector<const phantom::ToolUse*> uses;
  for (const HalfOpen<double> stretch : time.path) {
    const phantom::ToolUse* use = ForcepsIn(phantom.script(), stretch);
    if (!use) continue;
    if (std::find(uses.begin(), uses.end(), use) == uses.end()) uses.push_back(use);
    const auto path = FilteredPath(scene, *use, stretch.start, stretch.end, kMotionStep, band.cutoff_hz(), 2);
    peak = std::max(peak, phantom::LargestSpeed(path, kMotionStep, kTipPeakMargin));
    movements += phantom::Movements(path, kMotionStep, kTipMovementMm / magnification);
    all.insert(all.end(), path.begin(), path.end());
    still += StillSeconds(scene, *use, stretch.start, stretch.end, kTipStillMm / magnification,
                          kTipStillWindow, kTipStillMargin);
  }
  if (all.empty()) return;
  const auto add = [&](const char* name, double value, const char* unit, const char* plane) {
    out.push_back(OfFollowed(name, value, unit));
    if (plane) out.back().plane = plane;
    out.back().trail = marked::kRhexisTrail;
  };
  add("path.speed_peak", peak, "mm/s", "capsule");
  add("path.movements", movements, "count", nullptr);
  add("path.area", phantom::HullArea(all), "mm2", "capsule");
  add("path.tip_still", still, "s", nullptr);
  add("path.entries", static_cast<double>(uses.size()), "count", nullptr);
}

void AddTipZone(const phantom::Phantom& phantom, const FollowedTime& time, std::vector<TrueValue>& out) {
  double beyond = 0;
  bool any = false;
  for (const HalfOpen<double> stretch : time.zone) {
    const phantom::ToolUse* use = ForcepsIn(phantom.script(), stretch);
    if (!use) continue;
    any = true;
    beyond += SecondsBeyond(phantom.scene(), *use, stretch.start, stretch.end, time.zone_share);
  }
  if (!any) return;
  out.push_back(OfFollowed("path.outside_centre", beyond, "s"));
  out.back().step = "rhexis";
  out.back().trail = marked::kRhexisTrail;
}

void AddGraspsOfFlap(const phantom::Script& script, std::vector<TrueValue>& out) {
  const auto grasps = static_cast<double>(script.grasps_s.size());
  for (const auto& [name, value] : {std::pair{"rhexis.grasps", grasps}, {"rhexis.regrasps", grasps - 1}}) {
    out.push_back(OfFollowed(name, value, "count"));
    out.back().step = "rhexis";
  }
}

void AddOverlapShares(const phantom::Phantom& phantom, std::vector<TrueValue>& out) {
  const phantom::OverlapShares shares =
      TrueOverlap(phantom.scene(), phantom.script(), FinalInstant(phantom.script()));
  const auto add = [&](const char* name, double value) {
    out.push_back(OfFollowed(std::string("rhexis.over_optic.") + name, value, "1"));
    out.back().mark = marked::kRhexisOverOptic;
  };
  add("overlap_share", shares.covered);
  add("bare_share", 1 - shares.covered);
  add("hidden_share", shares.hidden);
}

void AddEye(const phantom::Phantom& phantom, const FollowedTime::Eye& eye, std::vector<TrueValue>& out) {
  if (eye.seconds.empty()) return;
  const phantom::Scene& scene = phantom.scene();
  const phantom::ShapeFacts limbus = phantom::FactsOf(scene.eye.Limbus().Polygon());
  const PointSq middle{0.5 * (scene.width * scene.pixel_aspect.value() - 1), 0.5 * (scene.height - 1)};
  double away = 0, off = 0;
  std::vector<double> turns;
  for (const double seconds : eye.seconds) {
    const phantom::Placement place = phantom.Truth(seconds).eye;
    const double mm = Distance(place.Of(limbus.centroid), middle) / place.px_per_mm;
    away += mm / static_cast<double>(eye.seconds.size());
    off += mm > kOffCentreShare * limbus.equivalent_diameter_mm / 2;
    turns.push_back(place.turn * 180 / std::numbers::pi);
  }
  const auto add = [&](const char* name, double value, const char* unit) -> TrueValue& {
    out.push_back(OfFollowed(name, value, unit));
    out.back().recording = eye.recording;
    return out.back();
  };
  add("eye.off_centre", away, "mm").plane = "cornea";
  add("eye.off_centre_share", off / static_cast<double>(eye.seconds.size()), "1");
  add("eye.turn_range", phantom::ByRank(turns, 0.99) - phantom::ByRank(turns, 0.01), "deg");
  // It changes once at most, and stays.
  const double zoomed =
      phantom.script().zoom.At(eye.seconds.back()) / phantom.script().zoom.At(eye.seconds.front());
  const bool lasting = std::abs(std::log(zoomed)) > kLastingZoom;
  add("eye.zoom_changes", lasting ? 1 : 0, "count");
  if (lasting) add("eye.zoom_change", zoomed, "1");
  add("eye.tilt_change", 0, "deg");  // a phantom's eye turns about its own axis alone
}

void AddLeastPupils(const phantom::Phantom& phantom, const FollowedTime& time, std::vector<TrueValue>& out) {
  const auto diameter = [&](double seconds) {
    return phantom::FactsOf(PupilShape(phantom.scene(), phantom.script().pupil_mm.At(seconds)).Polygon())
        .equivalent_diameter_mm;
  };
  std::vector<double> all;
  const auto add = [&](const char* name, const std::vector<double>& diameters) {
    out.push_back(OfFollowed(name, phantom::ByRank(diameters, kPupilLeastShare), "mm"));
    out.back().plane = "capsule";
  };
  for (const FollowedTime::Eye& eye : time.eyes)
    for (const double seconds : eye.pupil_seconds) all.push_back(diameter(seconds));
  if (all.empty()) return;
  add("pupil.followed_least", all);
  for (const phantom::StepSpan& step : phantom.script().steps) {
    std::vector<double> within;
    double first = step.end_s, last = step.start_s;
    for (const FollowedTime::Eye& eye : time.eyes)
      for (const double seconds : eye.pupil_seconds) {
        if (seconds < step.start_s || seconds >= step.end_s) continue;
        within.push_back(diameter(seconds));
        first = std::min(first, seconds), last = std::max(last, seconds);
      }
    if (last - first < kLeastStepSeconds) continue;
    add("pupil.step_least", within);
    out.back().step = step.key;
  }
}

// Whoever had the instruments in the time that is measured.
std::optional<std::string> OtherThanOperator(const phantom::Script& script, const WhoOperates& who,
                                             const std::vector<HalfOpen<double>>& stretches) {
  const phantom::StepSpan& rhexis = *script.Step("rhexis");
  const auto after = [&](HalfOpen<double> s) { return (s.start + s.end) / 2 > *rhexis.taken_over_s; };
  if (rhexis.taken_over_s && !stretches.empty() && std::all_of(stretches.begin(), stretches.end(), after))
    return who.supervisor_code;
  return std::nullopt;
}

}  // namespace

std::vector<TrueValue> TrueFollowed(const phantom::Phantom& phantom, const WhoOperates& who,
                                    const FollowedTime& time, const PathBand& band) {
  std::vector<TrueValue> out = TruePath(phantom, time.path, band);
  AddTipMotion(phantom, time, band, out);
  AddTipZone(phantom, time, out);
  for (TrueValue& value : out) value.operator_code = OtherThanOperator(phantom.script(), who, time.path);
  AddGraspsOfFlap(phantom.script(), out);
  AddOverlapShares(phantom, out);
  for (const FollowedTime::Eye& eye : time.eyes) AddEye(phantom, eye, out);
  AddLeastPupils(phantom, time, out);
  return out;
}

}  // namespace afterscope
