// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/follow_trail.hpp"

#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/jobs/follow/keep_now.hpp"
#include "annotate/jobs/follow/square_picture.hpp"
#include "annotate/media/digest.hpp"
#include "metrics/follow/doubtful_frames.hpp"
#include "metrics/follow/trail_follower.hpp"
#include "metrics/scale/scale.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <unordered_map>

namespace afterscope {
namespace {

constexpr double kGroundShare = 0.25;  // of the work, for progress

// The frames of the range outside of gaps that were marked by hand, from the recording's best table.
std::vector<Pts> FramesOf(const FrameTable& table, const TrailTask& task) {
  std::vector<Pts> out;
  for (const FrameEntry& frame : table.frames()) {
    const FrameRef at{task.recording, frame.pts};
    const bool in_gap = std::any_of(task.trail->gaps.begin(), task.trail->gaps.end(),
                                    [&](const TrailGap& gap) { return gap.range.Contains(at); });
    if (task.range.Contains(frame.pts) && !in_gap) out.push_back(frame.pts);
  }
  return out;
}

// The eye's pose on each frame: between the ones that were trusted.
std::vector<EyePose> PosesAt(const std::vector<Pts>& frames, const FollowedEye* eye) {
  if (!eye || eye->frames.empty()) return {};
  const auto time = [](Pts at) { return static_cast<double>(at.ticks); };  // in any unit
  std::vector<TimedPose> trusted;
  for (const EyeAtFrame& f : eye->frames)
    if (f.pose.trust >= kLeastTrust) trusted.push_back({time(f.at.pts), f.pose});
  if (trusted.empty()) {
    EyePose still;
    still.origin = eye->reference_eye.limbus.ellipse.center;
    trusted.push_back({0, still});
  }
  std::vector<EyePose> out;
  out.reserve(frames.size());
  for (const Pts at : frames) out.push_back(PoseAt(trusted, time(at)));
  return out;
}

Error WasStopped() {
  return {ErrorCode::kStopped, "Following the instrument was stopped; the same command goes on."};
}

// One trail with its follower and what it takes to feed it.
class Work {
 public:
  Work(Recording& recording, const TrailTask& task, const FrameTable& table)
      : recording_(recording),
        task_(task),
        frames_(FramesOf(table, task)),
        aspect_(recording.info().pixel_aspect.valid() ? recording.info().pixel_aspect.value() : 1),
        follower_(Seconds(), PxPerMm(), EyeCenter(), {}, PosesAt(frames_, task.eye)) {
    for (std::size_t i = 0; i < frames_.size(); ++i) index_[frames_[i].ticks] = i;
  }

  Status SetHandPoints(const StopQuery& stop) {
    for (const TrailPoint& p : HandPoints(*task_.trail)) {
      const auto i = p.at.recording == task_.recording ? index_.find(p.at.pts.ticks) : index_.end();
      if (i == index_.end()) continue;
      AFTERSCOPE_ASSIGN(const Picture picture, recording_.Frame(p.at.pts, stop));
      const PointSq tip = SqFromPx(p.tip, aspect_);
      std::optional<Angle> shaft;
      if (p.shaft) {
        const PointSq along = SqFromPx(*p.shaft, aspect_);
        shaft = Angle::Radians(std::atan2(along.y - tip.y, along.x - tip.x));
      }
      follower_.SetByHand(i->second, SquareLightness(picture), {tip.x, tip.y}, shaft);
      points_[i->second] = p;
    }
    if (follower_.set_by_hand() > 0) return {};
    return Error{
        ErrorCode::kNotComputable,
        fmt::format("Trail '{}' can't be followed: it has no point set by hand on a frame of the stretch; "
                    "set one on the tip.",
                    task_.trail->id.value)};
  }

  void Recall(const TrailMemory& memory) {
    for (std::size_t i = 0; i < frames_.size(); ++i) {
      const auto stretch = memory.find(StretchDigest(i));
      if (stretch == memory.end()) continue;
      const auto seen = stretch->second.find(frames_[i]);
      if (seen != stretch->second.end()) follower_.PutBack(i, seen->second);
    }
  }

  TrailMemory Memory() {
    TrailMemory out;
    for (std::size_t i = 0; i < frames_.size(); ++i)
      if (auto seen = follower_.Seen(i)) out[StretchDigest(i)][frames_[i]] = std::move(*seen);
    return out;
  }

  // What lies behind the instrument, and what it looks like.
  Status Learn(const Progress& progress, const StopQuery& stop) {
    const std::vector<std::size_t> wanted = follower_.GroundFrames();
    const auto visit = [&](const Picture& picture) {
      const auto i = index_.find(picture.frame.pts.ticks);
      if (i != index_.end() && std::binary_search(wanted.begin(), wanted.end(), i->second)) {
        follower_.AddGround(i->second, SquareLightness(picture));
        Report(progress, kGroundShare * static_cast<double>(i->second) / static_cast<double>(frames_.size()));
      }
      return !Stopped(stop) && picture.frame.pts < frames_[wanted.back()];
    };
    AFTERSCOPE_TRY(recording_.Sweep(frames_[wanted.front()], visit, stop));
    if (Stopped(stop)) return WasStopped();
    follower_.Learn();
    return {};
  }

  Status Look(const Progress& progress, const StopQuery& stop, const TrailCalls& calls) {
    const std::vector<std::size_t> due = follower_.FramesToLookAt(), again = follower_.FramesToShowAgain();
    if (due.empty() && again.empty()) return {};
    const std::size_t first = std::min(due.empty() ? again.front() : due.front(),
                                       again.empty() ? due.front() : again.front()),
                      last = std::max(due.empty() ? again.back() : due.back(),
                                      again.empty() ? due.back() : again.back());
    std::size_t done = 0;
    KeepNow keep_now;
    Status kept;
    const auto visit = [&](const Picture& picture) {
      const auto i = index_.find(picture.frame.pts.ticks);
      if (i != index_.end() && std::binary_search(due.begin(), due.end(), i->second)) {
        follower_.Look(i->second, SquareLightness(picture));
        if (calls.watch) calls.watch(picture, LikelyTip(i->second));
        const double share = static_cast<double>(++done) / static_cast<double>(due.size());
        Report(progress, kGroundShare + (1 - kGroundShare) * share);
      }
      if (i != index_.end() && std::binary_search(again.begin(), again.end(), i->second))
        follower_.ShowAgain(i->second, SquareLightness(picture));
      if (calls.keep && keep_now.IsDue()) kept = calls.keep(Memory()), keep_now.Done();
      return kept.ok() && !Stopped(stop) && picture.frame.pts < frames_[last];
    };
    AFTERSCOPE_TRY(recording_.Sweep(frames_[first], visit, stop));
    if (!kept.ok()) return kept.error();
    if (Stopped(stop)) return WasStopped();
    return {};
  }

  FollowedTrail Result() {
    FollowedTrail out;
    out.trail = task_.trail->id;
    out.recording = task_.recording;
    out.range = task_.range;
    out.least_confidence = FollowOptions().least_confidence;
    const std::vector<FollowedPoint> points = follower_.Solve();
    for (std::size_t i = 0; i < points.size(); ++i) {
      FollowedTip tip{{task_.recording, frames_[i]}, {}, points[i].by_hand, points[i].confidence};
      if (points[i].pose) tip.tip = PxFromSq({points[i].pose->tip.x, points[i].pose->tip.y}, aspect_);
      if (points[i].by_hand) tip.tip = points_.at(i).tip;
      out.tips.push_back(tip);
    }
    return out;
  }

 private:
  std::vector<double> Seconds() const {
    std::vector<double> out;
    for (const Pts at : frames_) out.push_back((at - task_.range.start).Seconds(recording_.info().time_base));
    return out;
  }
  double PxPerMm() const {
    return task_.eye ? 2 * task_.eye->reference_eye.limbus.ellipse.half_long / kPopulationCornealDiameter.mm
                     : task_.px_per_mm;
  }
  PointPx EyeCenter() const {
    if (task_.eye) return task_.eye->reference_eye.limbus.ellipse.center;
    return {0.5 * recording_.info().width * aspect_, 0.5 * recording_.info().height};
  }

  std::optional<PointPx> LikelyTip(std::size_t index) const {
    const auto tip = follower_.LikelyTip(index);
    return tip ? std::optional(PxFromSq({tip->x, tip->y}, aspect_)) : std::nullopt;
  }

  std::string StretchDigest(std::size_t index) {
    const auto around = follower_.HandsAround(index);
    const auto end = [&](const std::optional<std::size_t>& hand) {
      if (!hand) return std::string("open");
      const TrailPoint& p = points_.at(*hand);
      return fmt::format("{} {}", p.at.pts.ticks, HandPlace(p));
    };
    const std::string text =
        fmt::format("looked 8: {} {} {:.6f} {}\n{}", end(around.first), end(around.second), PxPerMm(),
                    task_.eye ? task_.eye->input_digest : "no eye", task_.recording);
    std::string& digest = digests_[text];
    if (digest.empty()) digest = Sha256Hex(text);
    return digest;
  }

  Recording& recording_;
  const TrailTask& task_;
  std::vector<Pts> frames_;
  double aspect_;
  TrailFollower follower_;
  std::unordered_map<std::int64_t, std::size_t> index_;  // by ticks
  std::map<std::size_t, TrailPoint> points_;             // set by hand
  std::map<std::string, std::string> digests_;
};

}  // namespace

Result<FollowedTrail> FollowTrail(Recording& recording, const TrailTask& task, TrailMemory& memory,
                                  const Progress& progress, const StopQuery& stop, const TrailCalls& calls) {
  AFTERSCOPE_ASSIGN(const auto table, recording.WaitForTable(TableState::kFromPackets, {}, stop));
  Work work(recording, task, *table);
  AFTERSCOPE_TRY(work.SetHandPoints(stop));
  work.Recall(memory);
  AFTERSCOPE_TRY(work.Learn(progress, stop));
  const Status looked = work.Look(progress, stop, calls);
  memory = work.Memory();
  if (!looked.ok()) return looked.error();
  FollowedTrail followed = work.Result();
  memory = work.Memory();  // with what following from frame to frame added
  return followed;
}

std::vector<std::size_t> DoubtfulTips(const FollowedTrail& followed, std::size_t most) {
  std::vector<FollowedPoint> points;
  for (const FollowedTip& tip : followed.tips) {
    FollowedPoint p;
    p.by_hand = tip.by_hand, p.confidence = tip.confidence;
    points.push_back(p);
  }
  return DoubtfulFrames(points, followed.least_confidence, most);
}

double BelievedShare(const FollowedTrail& followed) {
  if (followed.tips.empty()) return 0;
  const auto believed = std::count_if(
      followed.tips.begin(), followed.tips.end(),
      [&](const FollowedTip& tip) { return tip.tip && tip.confidence >= followed.least_confidence; });
  return static_cast<double>(believed) / static_cast<double>(followed.tips.size());
}

}  // namespace afterscope
