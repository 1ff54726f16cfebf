// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/visits.hpp"
#include "annotate/jobs/measure/eye_focus.hpp"
#include "annotate/jobs/measure/eye_sights.hpp"
#include "annotate/jobs/measure/measure_context.hpp"
#include "metrics/series/draws.hpp"

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
const char* const kPupilMethod =
    "diameter of the pupil as found several times a second, in the plane of the front capsule: that which a "
    "twentieth of the sights stay below; single sights that differ from both neighbours left out";

double Quantile(std::vector<double> values, double share) {
  const auto at = values.begin() + std::lround(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
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
        {Estimate{share, share, share}, "1", "share of the frames on which the eye's place is trusted", {}});
  }

  // The estimate of a share from how it changes when the limit moves by the error of what is compared.
  static Measured Share(const std::vector<double>& values, double limit, double error, std::string method) {
    const auto beyond = [&](double at) {
      const auto count = std::count_if(values.begin(), values.end(), [&](double v) { return v > at; });
      return static_cast<double>(count) / static_cast<double>(values.size());
    };
    return {Estimate{beyond(limit), beyond(limit * (1 + error)), beyond(limit * (1 - error))},
            "1",
            std::move(method),
            {}};
  }

  void AddOffCentre() {
    const char* method = "distance of the limbus' centre from the picture's, mean over the frames followed";
    std::vector<double> radii;
    for (const EyeOff& off : EyesOff(context_, eye_)) radii.push_back(off.radii);
    if (radii.empty()) {
      Put("eye.off_centre", NotMeasured("mm", method, kNotFollowed));
      Put("eye.off_centre_share", NotMeasured("1", method, kNotFollowed));
      return;
    }
    double mean = 0;
    for (const double v : radii) mean += v / static_cast<double>(radii.size());
    // In pixels of the reference frame, so that one scale serves.
    const double sq = mean * ReferenceRadius(eye_);
    const ResolvedScale* scale = nullptr;
    Measured distance = InPlane(context_, EstimateNormal(sq, eye_.reference_eye.limbus.center_sd),
                                {eye_.recording, eye_.reference}, Plane::kCornea, method, &scale);
    if (distance.estimate) distance.estimate->low = std::max(0.0, distance.estimate->low);
    Put("eye.off_centre", std::move(distance), scale);
    Put("eye.off_centre_share", Share(radii, kOffCentreRadii, 0.03,
                                      "share of the frames followed on which the limbus' centre is farther "
                                      "from the picture's than half the "
                                      "limbus' radius"));
  }

  void AddFocus() {
    const char* method =
        "share of the time with at least 0.7 of the sharpness within the limbus that a tenth of the "
        "recording reaches";
    std::vector<double> sharp;
    for (const EyeSight& s : eye_.sights)
      if (s.sharpness > 0) sharp.push_back(s.sharpness);
    const auto limit = FocusLimit(eye_);
    if (!limit) return Put("eye.focus_share", NotMeasured("1", method, kNotFollowed));
    Put("eye.focus_share", Share(sharp, *limit, 0.05, method));
  }

  void AddTurn() {
    std::vector<double> turns;
    for (const EyeAtFrame& f : eye_.frames)
      if (f.pose.trust >= kLeastTrust) turns.push_back(f.pose.turn.degrees());
    const char* method =
        "turn of the eye in the picture: from the 1st to the 99th per cent of the frames followed";
    if (turns.empty()) return Put("eye.turn_range", NotMeasured("deg", method, kNotFollowed));
    const double range = Quantile(turns, 0.99) - Quantile(turns, 0.01), error = 0.3;
    Put("eye.turn_range", {Estimate{range, std::max(0.0, range - error), range + error}, "deg", method, {}});
  }

  void AddZoom() {
    const double count = static_cast<double>(track_.ZoomChanges().size());
    Put("eye.zoom_changes", {Estimate{count, count, count},
                             "count",
                             "lasting changes of the eye's size in the picture by more than 3 %",
                             {}});
    for (const ZoomChange& c : track_.ZoomChanges()) {
      Measured factor{EstimateNormal(c.after / c.before, 0.005 * c.after / c.before),
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
    std::map<long, std::vector<std::pair<double, double>>>
        stretches;  // squeeze as a vector of twice the angle
    const EyeEllipse& ref = eye_.reference_eye.limbus.ellipse;
    const auto squeeze = [](const EyeEllipse& e, Angle turned) {
      const double log_ratio = std::log(e.half_long / e.half_short), a = 2 * (e.angle - turned).radians();
      return std::pair{log_ratio * std::cos(a), log_ratio * std::sin(a)};
    };
    const auto [ref_x, ref_y] = squeeze(ref, {});
    for (const EyeSight& s : eye_.sights) {
      const auto pose = track_.At(context_.clock.Seconds(s.at));
      if (!pose || !IsSeen(s.eye.limbus)) continue;
      const auto [x, y] = squeeze(s.eye.limbus.ellipse, pose->turn);
      stretches[std::lround(context_.clock.Seconds(s.at) / kTiltSeconds)].emplace_back(x - ref_x, y - ref_y);
    }
    std::optional<Estimate> largest;
    for (const auto& [number, sights] : stretches) {
      if (sights.size() < kLeastSights) continue;
      std::vector<double> xs, ys;
      for (const auto& [x, y] : sights) xs.push_back(x), ys.push_back(y);
      const double x = Quantile(xs, 0.5), y = Quantile(ys, 0.5), ratio = std::hypot(x, y);
      const double spread =
          std::hypot(Quantile(xs, 0.75) - Quantile(xs, 0.25), Quantile(ys, 0.75) - Quantile(ys, 0.25));
      const double error =
          kNormal95 * std::hypot(spread / std::sqrt(static_cast<double>(sights.size())), 0.01);
      const auto tilt = [](double r) {
        return std::acos(std::exp(-std::max(0.0, r))) * 180 / std::numbers::pi;
      };
      const Estimate e{tilt(ratio), tilt(ratio - error), tilt(ratio + error)};
      if (!largest || e.value > largest->value) largest = e;
    }
    if (!largest) return Put("eye.tilt_change", NotMeasured("deg", method, "the limbus was seen too seldom"));
    Put("eye.tilt_change",
        {*largest, "deg", method, {"change against one frame of the recording, not the tilt itself"}});
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
  std::vector<PupilSeen> order = sights;
  std::sort(order.begin(), order.end(), [](const PupilSeen& a, const PupilSeen& b) {
    return a.sight->eye.pupil.ellipse.MeanDiameter() < b.sight->eye.pupil.ellipse.MeanDiameter();
  });
  const EyeSight& least = *order[order.size() / 20].sight;
  const double diameter = least.eye.pupil.ellipse.MeanDiameter();
  Measured measured =
      InPlane(context, EstimateNormal(diameter, std::hypot(least.eye.pupil.diameter_sd, 0.01 * diameter)),
              least.at, Plane::kCapsule, kPupilMethod, &origin.scale);
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
