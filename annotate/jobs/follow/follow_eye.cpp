// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/follow_eye.hpp"

#include "annotate/jobs/follow/keep_now.hpp"
#include "annotate/jobs/follow/square_picture.hpp"
#include "annotate/jobs/geometry_view.hpp"
#include "metrics/eye/eye_sharpness.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::int64_t kTries = 7;                      // frames of the range on which an eye is looked for
constexpr double kGoodLimbus = 0.85, kGoodPupil = 0.7;  // trust with which no better frame is looked for
constexpr double kSightSeconds = 0.2;                   // between frames on which limbus and pupil are found

Result<FoundEye> EyeOn(const Picture& picture, const std::optional<PointPx>& click) {
  std::optional<PointPx> half;
  if (click) half = PointPx{(click->x - 0.5) / 2, (click->y - 0.5) / 2};
  AFTERSCOPE_ASSIGN(FoundEye eye, FindEye(SquareHalfBgr(picture), half));
  return Enlarged(eye, 2);
}

double Goodness(const FoundEye& eye) { return eye.limbus.trust + 0.3 * eye.pupil.trust; }

std::vector<Pts> TryFrames(HalfOpen<Pts> range) {
  // The middle first: the ends of a recording often show no eye.
  std::vector<Pts> out;
  const std::int64_t ticks = range.end.ticks - range.start.ticks;
  for (const std::int64_t k : {3, 2, 4, 1, 5, 0, 6})
    out.push_back({range.start.ticks + ticks * (2 * k + 1) / (2 * kTries)});
  return out;
}

// Where an eye that was seen as `seen` on a picture with `then` is on one with `now`.
FoundEye Moved(const FoundEye& seen, const EyePose& then, const EyePose& now) {
  FoundEye out = seen;
  const double zoom = now.zoom / then.zoom;
  for (EyeOutline* o : {&out.limbus, &out.pupil}) {
    const PointPx reference = ReferenceFromPicture(then, {0, 0}, o->ellipse.center);
    o->ellipse.center = PictureFromReference(now, {0, 0}, reference);
    o->ellipse.half_long *= zoom, o->ellipse.half_short *= zoom;
    o->ellipse.angle = o->ellipse.angle + now.turn - then.turn;
  }
  return out;
}

// Goes through the pictures one after another.
class EyeWalk {
 public:
  EyeWalk(FollowedEye& eye, const cv::Mat& reference, Rational time_base)
      : eye_(eye), motion_(reference, eye.reference_eye), time_base_(time_base) {
    seen_at_.origin = motion_.reference_origin();
    seen_ = eye.reference_eye;
    if (eye.frames.empty()) return;
    motion_.ContinueFrom(eye.frames.back().pose);
    if (!eye.sights.empty()) Remember(eye.sights.back());
  }

  void Take(const Picture& picture) {
    const EyePose pose = motion_.Next(SquareLightness(picture));
    eye_.frames.push_back({picture.frame, pose});
    const bool due = eye_.sights.empty() ||
                     (picture.frame.pts - eye_.sights.back().at.pts).Seconds(time_base_) >= kSightSeconds;
    if (due) Look(picture, pose);
  }

 private:
  void Look(const Picture& picture, const EyePose& pose) {
    const FoundEye near = Enlarged(Moved(seen_, seen_at_, pose), 0.5);
    const auto found = FindEyeNear(SquareHalfBgr(picture), near);
    EyeSight sight{picture.frame, {}, 0};
    if (found.ok()) sight.eye = Enlarged(*found, 2);
    if (!found.ok() || sight.eye.limbus.trust < kLeastTrust)
      sight.eye.limbus.ellipse = Enlarged(near, 2).limbus.ellipse;
    sight.sharpness = EyeSharpness(SquareLightness(picture), sight.eye.limbus.ellipse);
    if (found.ok() && sight.eye.limbus.trust >= kLeastTrust && sight.eye.pupil.trust >= kLeastTrust)
      seen_ = sight.eye, seen_at_ = pose;
    eye_.sights.push_back(sight);
  }

  void Remember(const EyeSight& sight) {
    for (const EyeAtFrame& f : eye_.frames)
      if (f.at == sight.at && sight.eye.limbus.trust >= kLeastTrust && sight.eye.pupil.trust >= kLeastTrust)
        seen_ = sight.eye, seen_at_ = f.pose;
  }

  FollowedEye& eye_;
  EyeMotion motion_;
  Rational time_base_;
  FoundEye seen_;
  EyePose seen_at_;
};

}  // namespace

std::optional<EyeStart> EyeStartFrom(const CaseRecord& record, const Review& review, int recording) {
  const Mark* best = nullptr;
  for (const Mark& mark : review.marks) {
    if (mark.at.recording != recording || mark.points.empty()) continue;
    if (mark.kind != MarkKind::kLimbus && mark.kind != MarkKind::kPupil) continue;
    if (!best || (mark.kind == MarkKind::kPupil && best->kind != MarkKind::kPupil)) best = &mark;
  }
  if (!best) return std::nullopt;
  PointPx middle;
  for (const PointSq p : SqFromPx(best->points, PixelAspectOf(record, recording)))
    middle.x += p.x / static_cast<double>(best->points.size()),
        middle.y += p.y / static_cast<double>(best->points.size());
  return EyeStart{best->at.pts, middle};
}

Result<FollowedEye> FindReferenceEye(Recording& recording, int number, HalfOpen<Pts> range,
                                     const std::optional<EyeStart>& start, const StopQuery& stop) {
  FollowedEye out;
  out.recording = number;
  out.range = range;
  double best = 0;
  const std::vector<Pts> frames = start ? std::vector<Pts>{start->at} : TryFrames(range);
  for (const Pts at : frames) {
    AFTERSCOPE_ASSIGN(const Picture picture, recording.Frame(at, stop));
    const auto eye = EyeOn(picture, start ? start->click : std::nullopt);
    if (!eye.ok() || Goodness(*eye) <= best) continue;
    best = Goodness(*eye);
    out.reference = picture.frame.pts, out.reference_eye = *eye;
    if (eye->limbus.trust >= kGoodLimbus && eye->pupil.trust >= kGoodPupil) break;
  }
  if (out.reference_eye.limbus.trust >= kLeastTrust) return out;
  return Error{
      ErrorCode::kNotComputable,
      fmt::format("No eye is found for certain in recording {}: mark the limbus or the pupil on a clear "
                  "frame, and follow again.",
                  number + 1)};
}

Status FollowEye(Recording& recording, FollowedEye& eye, const Progress& progress, const StopQuery& stop,
                 const std::function<Status(const FollowedEye&)>& keep) {
  if (eye.complete) return {};
  AFTERSCOPE_ASSIGN(const Picture reference, recording.Frame(eye.reference, stop));
  EyeWalk walk(eye, SquareLightness(reference), recording.info().time_base);
  const Pts from = eye.frames.empty() ? eye.range.start : eye.frames.back().at.pts;
  const double whole = std::max<double>(1, static_cast<double>((eye.range.end - eye.range.start).ticks));
  KeepNow keep_now;
  Status kept;
  const auto visit = [&](const Picture& picture) {
    const Pts at = picture.frame.pts;
    if (!(at < eye.range.end) || Stopped(stop)) return false;
    if (at < eye.range.start || (!eye.frames.empty() && !(eye.frames.back().at.pts < at))) return true;
    walk.Take(picture);
    Report(progress, static_cast<double>((at - eye.range.start).ticks) / whole);
    if (keep && keep_now.IsDue()) kept = keep(eye), keep_now.Done();
    return kept.ok();
  };
  AFTERSCOPE_TRY(recording.Sweep(from, visit, stop));
  if (!kept.ok()) return kept.error();
  if (Stopped(stop))
    return Error{ErrorCode::kStopped, "Following the eye was stopped; the same command goes on."};
  eye.complete = true;
  return {};
}

}  // namespace afterscope
