// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/eye_over_time.hpp"

#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/jobs/measure/eye_sights.hpp"
#include "metrics/series/draws.hpp"
#include "metrics/series/quantiles.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr double kPupilPause = 1, kEyePause = 0.5;  // seconds: what is longer is a gap
constexpr double kApartSeconds = 0.2 - 1e-6;        // of two values
constexpr double kSameLimit = 0.03;                 // what limits may differ by and be shown as one
constexpr double kOwnShare = 0.01;                  // of a diameter, as the findings have it

// Values of one recording in order of time, broken where none comes for a while.
class RunBuilder {
 public:
  RunBuilder(EyeCourse& course, double pause) : course_(course), pause_(pause) {}
  RunBuilder(const RunBuilder&) = delete;
  RunBuilder& operator=(const RunBuilder&) = delete;
  ~RunBuilder() { Break(); }

  void Add(double seconds, double value) {
    if (seconds - last_seen_ > pause_) Break();
    last_seen_ = seconds;
    if (run_.empty() || seconds - run_.back().seconds >= kApartSeconds) run_.push_back({seconds, value});
  }

 private:
  void Break() {
    if (!run_.empty()) course_.runs.push_back(std::exchange(run_, {}));
  }

  EyeCourse& course_;
  double pause_;
  double last_seen_ = 0;
  std::vector<TimedValue> run_;
};

double MiddleOrZero(const std::vector<double>& values) {
  const auto middle = Quantile(values, 0.5);
  return middle.ok() ? *middle : 0;
}

class CourseBuilder {
 public:
  explicit CourseBuilder(const MeasureContext& context) : context_(context) {}

  EyeOverTime Build() {
    const bool scaled = context_.ScaleAt({}, Plane::kCornea).has_value();
    out_.pupil.unit = out_.off_centre.unit = scaled ? "mm" : "px";
    for (const EyeTrack* track : InOrder()) {
      AddPupil(*track, scaled);
      AddOffCentre(*track, scaled);
    }
    out_.pupil.own_error = MiddleOrZero(pupil_errors_);
    out_.pupil.scale_error = MiddleOrZero(pupil_scale_errors_);
    out_.off_centre.own_error = MiddleOrZero(off_errors_);
    out_.off_centre.scale_error = MiddleOrZero(off_scale_errors_);
    const auto [least, most] = std::minmax_element(limits_.begin(), limits_.end());
    if (!limits_.empty() && *most <= *least * (1 + kSameLimit)) out_.off_centre.limit = MiddleOrZero(limits_);
    return std::move(out_);
  }

 private:
  std::vector<const EyeTrack*> InOrder() const {
    std::vector<const EyeTrack*> tracks;
    for (const EyeTrack& track : context_.eyes)
      if (track.eye().recording >= 0 &&
          track.eye().recording < static_cast<int>(context_.record.recordings.size()))
        tracks.push_back(&track);
    std::sort(tracks.begin(), tracks.end(),
              [](const EyeTrack* a, const EyeTrack* b) { return a->eye().recording < b->eye().recording; });
    return tracks;
  }

  // What a square pixel of that frame is; without a scale a pixel of the reference frame, none where the
  // zoom is not known.
  std::optional<double> UnitOfSq(const EyeTrack& track, FrameRef at, bool scaled, Plane plane,
                                 std::vector<double>& scale_errors) {
    if (!scaled) {
      const auto zoom = track.ZoomAt(context_.clock.Seconds(at));
      return zoom && *zoom > 0 ? std::optional(1 / *zoom) : std::nullopt;
    }
    const auto chosen = context_.ScaleAt(at, plane);
    if (!chosen) return std::nullopt;
    out_.outside_scale = out_.outside_scale || chosen->outside_stretch;
    out_.zoom_followed = out_.zoom_followed || chosen->zoom_followed;
    scale_errors.push_back(kNormal95 * chosen->relative_sd);
    return chosen->mm_per_sq;
  }

  void AddPupil(const EyeTrack& track, bool scaled) {
    RunBuilder runs(out_.pupil, kPupilPause);
    for (const PupilSeen& seen : PupilSights(context_, track.eye())) {
      const EyeOutline& pupil = seen.sight->eye.pupil;
      const double sq = pupil.ellipse.MeanDiameter();
      const auto unit = UnitOfSq(track, seen.sight->at, scaled, Plane::kCapsule, pupil_scale_errors_);
      if (!unit) continue;
      pupil_errors_.push_back(kNormal95 * std::hypot(pupil.diameter_sd, kOwnShare * sq) * *unit);
      runs.Add(seen.seconds, sq * *unit);
    }
  }

  // In pixels of the reference frame, so that one scale serves, as for the finding.
  void AddOffCentre(const EyeTrack& track, bool scaled) {
    const FollowedEye& eye = track.eye();
    const FrameRef reference{eye.recording, eye.reference};
    const auto unit =
        scaled ? UnitOfSq(track, reference, true, Plane::kCornea, off_scale_errors_) : std::optional(1.0);
    if (!unit) return;
    RunBuilder runs(out_.off_centre, kEyePause);
    for (const EyeOff& off : EyesOff(context_, eye))
      runs.Add(context_.clock.Seconds(off.at), off.offset.Length() * *unit);
    off_errors_.push_back(kNormal95 * eye.reference_eye.limbus.center_sd * *unit);
    limits_.push_back(kOffCentreRadii * ReferenceRadius(eye) * *unit);
  }

  const MeasureContext& context_;
  EyeOverTime out_;
  std::vector<double> pupil_errors_, pupil_scale_errors_, off_errors_, off_scale_errors_, limits_;
};

}  // namespace

EyeOverTime EyeOverTimeOf(const CaseRecord& record, const Review& review, const MeasureOptions& options,
                          const Followed& followed) {
  MeasureOptions few = options;
  few.simulations = 1;  // no limits of outlines are asked for
  const StepList any_step;
  const Followed current = CurrentOf(followed, record, review, nullptr);
  if (current.eyes.empty()) return {};
  const MeasureContext context(record, review, any_step, few, current);
  return CourseBuilder(context).Build();
}

}  // namespace afterscope
