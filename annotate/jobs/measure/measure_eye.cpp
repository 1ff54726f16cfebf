// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/visits.hpp"
#include "annotate/jobs/measure/eye_focus.hpp"
#include "annotate/jobs/measure/eye_sights.hpp"
#include "annotate/jobs/measure/measure_context.hpp"
#include "metrics/eye/eye_summary.hpp"
#include "metrics/series/draws.hpp"
#include "metrics/series/quantiles.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kMostlyFollowed = 0.95;  // of a recording: with less a finding says so
constexpr double kTiltSeconds = 5;        // over which a tilt is averaged
constexpr std::size_t kLeastSights = 5;   // in such a stretch

const char* const kNotFollowed = "the eye was not followed: follow it, or a tip along with it";
const char* const kFocusCaution =
    "by how sharp the sharpest edges within the limbus are: what is in view counts, and a slight blur is not "
    "told from none";
const char* const kPupilMethod =
    "diameter of the pupil as found several times a second, in the plane of the front capsule: that which a "
    "twentieth of the sights stay below; single sights that differ from both neighbours left out";

// Median of these, not none, and its standard deviation from the quartiles, as of normally distributed
// values.
struct Middle {
  double value = 0, sd = 0;
};
Middle MiddleWithSd(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const double quarters = SortedQuantile(values, 0.75) - SortedQuantile(values, 0.25);
  const double sd = quarters / 1.349;
  return {SortedQuantile(values, 0.5), 1.2533 * sd / std::sqrt(static_cast<double>(values.size()))};
}

bool IsSeen(const EyeOutline& outline) { return outline.trust >= kLeastTrust; }

// One recording's eye against the middle of its picture.
class EyeFindings {
 public:
  EyeFindings(const MeasureContext& context, const EyeTrack& track, std::vector<Finding>& out)
      : context_(context), track_(track), eye_(track.eye()), out_(out) {}

  void AddAll() {
    AddFollowedShare();
    AddOffCentre();
    AddFocus();
    AddTurn();
    AddZoom();
    AddTilt();
  }

 private:
  void Put(const char* name, Measured measured, const ResolvedScale* scale = nullptr) {
    Origin origin;
    origin.scale = scale;
    origin.eye = &eye_;
    const double followed = (eye_.range.end - eye_.range.start).Seconds(Shape().time_base),
                 all = (Shape().end - Shape().first).Seconds(Shape().time_base);
    if (measured.estimate && followed < kMostlyFollowed * all)
      measured.cautions.push_back(fmt::format(
          "of the {:.0f} s of the recording that were followed; it lasts {:.0f} s", followed, all));
    out_.push_back(MakeFinding(context_, name, std::move(measured), origin));
  }

  void AddFollowedShare() {
    const auto trusted = std::count_if(eye_.frames.begin(), eye_.frames.end(),
                                       [](const EyeAtFrame& f) { return f.pose.trust >= kLeastTrust; });
    const double share =
        eye_.frames.empty() ? 0 : static_cast<double>(trusted) / static_cast<double>(eye_.frames.size());
    Put("eye.followed_share",
        {Estimate::Fact(share), "1", "share of the frames on which the eye's place is trusted", {}});
  }

  void AddOffCentre() {
    const char* method = "distance of the limbus' centre from the picture's, mean over the frames followed";
    const EyeOutline& limbus = eye_.reference_eye.limbus;
    std::vector<OffsetPx> offsets;  // in pixels of the reference frame, so that one scale serves
    for (const EyeOff& off : EyesOff(context_, eye_)) offsets.push_back(off.offset);
    if (offsets.empty()) {
      Put("eye.off_centre", NotMeasured("mm", method, kNotFollowed));
      Put("eye.off_centre_share", NotMeasured("1", method, kNotFollowed));
      return;
    }
    const ResolvedScale* scale = nullptr;
    Measured distance = InPlane(context_, MeanOffCentre(offsets, limbus.center_sd, Seed(1)),
                                {eye_.recording, eye_.reference}, Plane::kCornea, method, &scale);
    if (distance.estimate) distance.estimate->low = std::max(0.0, distance.estimate->low);
    Put("eye.off_centre", std::move(distance), scale);
    const double radius = ReferenceRadius(eye_);
    Put("eye.off_centre_share", {ShareOffCentre(offsets, kOffCentreRadii * radius, limbus.center_sd,
                                                limbus.diameter_sd / (2 * radius), Seed(2)),
                                 "1",
                                 "share of the frames followed on which the limbus' centre is farther from "
                                 "the picture's than half the "
                                 "limbus' radius",
                                 {}});
  }

  void AddFocus() {
    const char* method =
        "share of the time with at least 0.75 of the sharpness within the limbus that a tenth of the "
        "recording reaches";
    std::vector<double> sharp;
    for (const EyeSight& s : eye_.sights)
      if (s.sharpness > 0) sharp.push_back(s.sharpness);
    if (!FocusLimit(eye_)) return Put("eye.focus_share", NotMeasured("1", method, kNotFollowed));
    Put("eye.focus_share", {ShareInFocus(sharp, kFocusShare, Seed(3)), "1", method, {kFocusCaution}});
  }

  void AddTurn() {
    std::vector<double> turns, seconds;
    for (const EyeAtFrame& f : eye_.frames)
      if (f.pose.trust >= kLeastTrust) {
        turns.push_back(f.pose.turn.degrees());
        seconds.push_back(context_.clock.Seconds(f.at));
      }
    const char* method =
        "turn of the eye in the picture: from the 1st to the 99th per cent of the frames followed; what "
        "errors "
        "of following add is removed";
    if (turns.empty()) return Put("eye.turn_range", NotMeasured("deg", method, kNotFollowed));
    Put("eye.turn_range", {TurnRange(turns, seconds, Seed(4)), "deg", method, {}});
  }

  void AddZoom() {
    std::vector<TimedZoom> zooms;
    for (const EyeAtFrame& f : eye_.frames)
      if (f.pose.trust >= kLeastTrust) zooms.push_back({context_.clock.Seconds(f.at), f.pose.zoom});
    const char* method =
        "lasting changes of the eye's size in the picture by more than 3 %; limits: what lies near 3 %, and "
        "one "
        "there and back where the eye was not followed for three seconds and more";
    if (zooms.empty())
      Put("eye.zoom_changes", NotMeasured("count", method, kNotFollowed));
    else
      Put("eye.zoom_changes", {CountZoomChanges(zooms), "count", method, {}});
    for (const ZoomChange& c : track_.ZoomChanges()) {
      Measured factor{
          EstimateNormal(c.after / c.before, std::numbers::sqrt2 * EyeErrors{}.zoom * c.after / c.before),
          "1",
          "size of the eye in the picture after by before the change",
          {}};
      Origin origin;
      origin.eye = &eye_;
      Finding finding = MakeFinding(context_, "eye.zoom_change", std::move(factor), origin);
      finding.frames = {context_.clock.At(c.start_s), context_.clock.At(c.end_s)};
      out_.push_back(std::move(finding));
    }
  }

  // The limbus' ellipse on a frame, brought back into the eye's frame, against that of the reference: how
  // much it is squeezed across one direction more than across the other, which is cos(tilt change).
  void AddTilt() {
    const char* method =
        "change of the limbus' ellipse against the reference frame, five seconds averaged; the largest of "
        "them";
    std::map<long, std::vector<OffsetMm>> stretches;
    const OffsetMm reference = EyeSqueeze(eye_.reference_eye.limbus.ellipse, {});
    for (const EyeSight& s : eye_.sights) {
      const auto pose = track_.At(context_.clock.Seconds(s.at));
      if (!pose || !IsSeen(s.eye.limbus)) continue;
      stretches[std::lround(context_.clock.Seconds(s.at) / kTiltSeconds)].push_back(
          EyeSqueeze(s.eye.limbus.ellipse, pose->turn) - reference);
    }
    std::vector<StretchSqueeze> middles;
    for (const auto& [number, sights] : stretches) {
      if (sights.size() < kLeastSights) continue;
      std::vector<double> xs, ys;
      for (const OffsetMm& change : sights) xs.push_back(change.x), ys.push_back(change.y);
      const Middle x = MiddleWithSd(xs), y = MiddleWithSd(ys);
      middles.push_back({{x.value, y.value}, std::hypot(x.sd, y.sd) / std::numbers::sqrt2});
    }
    const auto largest = LargestTilt(middles);
    if (!largest) return Put("eye.tilt_change", NotMeasured("deg", method, "the limbus was seen too seldom"));
    Put("eye.tilt_change",
        {*largest, "deg", method, {"change against one frame of the recording, not the tilt itself"}});
  }

  unsigned Seed(unsigned purpose) const {
    return context_.Seed(4000 + 10 * static_cast<unsigned>(eye_.recording) + purpose);
  }
  const RecordingShape& Shape() const {
    return context_.record.recordings[static_cast<std::size_t>(eye_.recording)].shape;
  }

  const MeasureContext& context_;
  const EyeTrack& track_;
  const FollowedEye& eye_;
  std::vector<Finding>& out_;
};

// The pupil over a stretch of time: a low quantile of its sights, which single errors don't rule. `looked`:
// how often it was looked for.
void AddLeastPupil(const MeasureContext& context, const std::vector<PupilSeen>& sights, std::size_t looked,
                   const std::optional<std::string>& step, std::vector<Finding>& out) {
  const char* name = step ? "pupil.step_least" : "pupil.followed_least";
  Origin origin;
  origin.step = step;
  if (sights.size() < kLeastSights) {
    out.push_back(MakeFinding(
        context, name,
        NotMeasured("mm", kPupilMethod, sights.empty() ? kNotFollowed : "the pupil was seen too seldom"),
        origin));
    return;
  }
  // Compared in millimetres, which the zoom does not change.
  std::vector<double> diameters;
  for (const PupilSeen& p : sights) {
    const auto scale = context.ScaleAt(p.sight->at, Plane::kCapsule);
    diameters.push_back(p.sight->eye.pupil.ellipse.MeanDiameter() * (scale ? scale->mm_per_sq : 1));
  }
  const std::size_t at = LeastDiameterAt(diameters);
  const EyeSight& least = *sights[at].sight;
  const double px = least.eye.pupil.ellipse.MeanDiameter() / diameters[at];
  for (double& diameter : diameters) diameter *= px;
  Measured measured =
      InPlane(context, LeastDiameter(diameters, least.eye.pupil.diameter_sd, context.Seed(4900)), least.at,
              Plane::kCapsule, kPupilMethod, &origin.scale);
  const double seen =
      static_cast<double>(sights.size()) / static_cast<double>(std::max(looked, sights.size()));
  if (measured.estimate && seen < kMostlyFollowed)
    measured.cautions.push_back(fmt::format(
        "the pupil was seen on {:.0f} % of the sights; what it was in the rest is not in it", 100 * seen));
  Finding finding = MakeFinding(context, name, std::move(measured), origin);
  finding.frames = {least.at};
  out.push_back(std::move(finding));
}

void AddPupils(const MeasureContext& context, std::vector<Finding>& out) {
  std::vector<PupilSeen> all;
  std::size_t looked = 0;
  std::map<std::string, std::size_t> looked_by_step;
  for (const EyeTrack& track : context.eyes) {
    for (const PupilSeen& p : PupilSights(context, track.eye())) all.push_back(p);
    looked += track.eye().sights.size();
    for (const EyeSight& sight : track.eye().sights)
      if (const StepVisit* visit = RunningVisit(context.review, sight.at)) ++looked_by_step[visit->step];
  }
  AddLeastPupil(context, all, looked, std::nullopt, out);
  if (all.empty()) return;
  std::map<std::string, std::vector<PupilSeen>> by_step;
  for (const PupilSeen& p : all)
    if (const StepVisit* visit = RunningVisit(context.review, p.sight->at)) by_step[visit->step].push_back(p);
  for (const auto& [step, sights] : by_step) AddLeastPupil(context, sights, looked_by_step[step], step, out);
}

}  // namespace

void MeasureFollowedEye(const MeasureContext& context, std::vector<Finding>& out) {
  for (const EyeTrack& track : context.eyes)
    if (track.eye().recording >= 0 &&
        track.eye().recording < static_cast<int>(context.record.recordings.size()))
      EyeFindings(context, track, out).AddAll();
  if (context.eyes.empty()) {
    const std::pair<const char*, const char*> rows[] = {
        {"eye.followed_share", "1"}, {"eye.off_centre", "mm"},  {"eye.off_centre_share", "1"},
        {"eye.focus_share", "1"},    {"eye.turn_range", "deg"}, {"eye.zoom_changes", "count"},
        {"eye.tilt_change", "deg"}};
    for (const auto& [name, unit] : rows)
      out.push_back(MakeFinding(context, name,
                                NotMeasured(unit, "the eye followed through the frames", kNotFollowed), {}));
  }
  AddPupils(context, out);
}

}  // namespace afterscope
