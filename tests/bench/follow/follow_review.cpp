// SPDX-License-Identifier: Apache-2.0
#include "tests/bench/follow/follow_review.hpp"

#include "metrics/follow/doubtful_frames.hpp"
#include "metrics/path/tip_path.hpp"
#include "metrics/scale/scale.hpp"

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>
#include <opencv2/tracking.hpp>
#include <opencv2/video/tracking.hpp>

#include <algorithm>
#include <cmath>
#include <ctime>

namespace afterscope::testing {
namespace {

constexpr double kKeptMm = 0.15, kKeptShare = 0.95, kClickSdPx = 1.0;

// Pixels allowed on frame `index`.
double KeptPx(const FollowClip& clip, std::size_t index) { return kKeptMm * clip.truth[index].eye.px_per_mm; }

PointPx TipOf(const FollowClip& clip, std::size_t index) { return clip.truth[index].shaft.tip; }

struct Score {
  std::vector<double> off;  // in units of what is allowed; very large where not followed
  int visible = 0, kept = 0, believed = 0, wrong = 0;
};

Score ScoreOf(const FollowClip& clip, const std::vector<FollowedPoint>& points, double least) {
  Score s;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const bool posed = points[i].pose.has_value();
    s.off.push_back(posed ? Distance(points[i].pose->tip, TipOf(clip, i)) / KeptPx(clip, i) : 1e9);
    if (!clip.truth[i].visible) continue;
    ++s.visible;
    s.kept += s.off[i] <= 1;
    if (!posed || points[i].confidence < least) continue;
    ++s.believed;
    s.wrong += s.off[i] > 2;
  }
  return s;
}

// The frame that the reviewer clicks in next; size() if none.
std::size_t NextClick(const FollowClip& clip, const std::vector<FollowedPoint>& points, const Score& score) {
  const auto bad = [&](std::size_t i) {
    return score.off[i] > 1 && !points[i].by_hand && clip.truth[i].visible;
  };
  std::size_t pick = points.size();
  for (std::size_t i = 0; i < points.size(); ++i)
    if (bad(i) && (pick == points.size() || points[i].confidence < points[pick].confidence)) pick = i;
  if (pick == points.size()) return pick;
  std::size_t from = pick, to = pick;
  while (from > 0 && bad(from - 1)) --from;
  while (to + 1 < points.size() && bad(to + 1)) ++to;
  return (from + to) / 2;
}

// Distance of a point from a shaft's axis and how far along it lies from the tip, pixels.
struct Beside {
  double across = 0, along = 0;
};
Beside BesideOf(const FollowClip::Shaft& shaft, PointPx p) {
  const OffsetPx axis = shaft.towards_hand - shaft.tip, d = p - shaft.tip;
  const double length = axis.Length();
  return {std::abs(axis.x * d.y - axis.y * d.x) / length, (axis.x * d.x + axis.y * d.y) / length};
}

bool LeavesNear(const FollowClip& clip, std::size_t index) {
  for (std::size_t i = 0; i < clip.seconds.size(); ++i)
    if (!clip.truth[i].visible && std::abs(clip.seconds[i] - clip.seconds[index]) < 0.5) return true;
  return false;
}

Miss MissOf(const FollowClip& clip, const FollowedPoint& point, double off, std::size_t index) {
  const FollowClip::Truth& truth = clip.truth[index];
  if (!point.pose) return Miss::kGivenUp;
  const double mm = truth.eye.px_per_mm;
  for (const FollowClip::Shaft& other : truth.others) {
    const Beside at = BesideOf(other, point.pose->tip);
    if (off > 2 && at.across < 0.6 * mm && at.along > -0.6 * mm) return Miss::kOtherTool;
  }
  if (truth.blur_px > 1) return Miss::kFocusLost;
  if (LeavesNear(clip, index)) return Miss::kLeaving;
  if (off <= 2) return Miss::kInexact;
  const Beside at = BesideOf(truth.shaft, point.pose->tip);
  if (at.across < 0.6 * mm && at.along > 0) return Miss::kAlongShaft;
  return truth.speed_mm_s > 8 ? Miss::kFast : Miss::kElsewhere;
}

// Seconds of the processor, all threads, so that what else the machine does counts little.
double Now() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

// The believed stretches in the eye's frame, less what lies on frames on which the eye was not trusted, as
// findings have them. Points set by hand carry their own error and are left out.
std::vector<TipStretch> BelievedStretches(const FollowClip& clip, const std::vector<FollowedPoint>& points,
                                          double least) {
  std::vector<TipStretch> out(1);
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (points[i].by_hand) continue;
    if (!points[i].pose || points[i].confidence < least) {
      if (!out.back().empty()) out.emplace_back();
      continue;
    }
    if (!clip.eye_seen[i]) continue;
    const PointPx at = ReferenceFromPicture(clip.poses[i], clip.eye, points[i].pose->tip);
    out.back().push_back({clip.seconds[i], {at.x, at.y}});
  }
  return out;
}

// A follower on a clip, with what it took.
class Follower {
 public:
  Follower(const FollowClip& clip, const FollowOptions& options, FollowEffort& effort)
      : clip_(clip),
        options_(options),
        effort_(effort),
        follower_(clip.seconds, clip.px_per_mm, clip.eye, options, clip.poses) {
    const double start = Now();
    for (const std::size_t i : follower_.GroundFrames()) follower_.AddGround(i, clip.pictures[i]);
    effort_.prepare_seconds += Now() - start;
  }

  void Set(std::size_t index, OffsetPx error) {
    const double start = Now();
    follower_.SetByHand(index, clip_.pictures[index], TipOf(clip_, index) + error);
    ++effort_.points;
    effort_.prepare_seconds += Now() - start;
  }

  Score Follow() {
    double start = Now();
    follower_.Learn();
    effort_.prepare_seconds += Now() - start;
    start = Now();
    for (const std::size_t i : follower_.FramesToLookAt()) follower_.Look(i, clip_.pictures[i]), ++looked_;
    looking_ += Now() - start;
    start = Now();
    effort_.followed = follower_.Solve();
    effort_.solve_seconds = Now() - start;
    const Score score = ScoreOf(clip_, effort_.followed, options_.least_confidence);
    effort_.kept = static_cast<double>(score.kept) / score.visible;
    effort_.believed = static_cast<double>(score.believed) / score.visible;
    effort_.wrong = score.believed ? static_cast<double>(score.wrong) / score.believed : 0;
    effort_.seconds_a_frame = looked_ > 0 ? looking_ / static_cast<double>(looked_) : 0;
    return score;
  }

  // "place": what was chosen on a frame; "candidate": what there was to choose from; both with how far they
  // are from the truth (mm; of a frame in which the tip can't be seen: 99).
  void AddRows(std::ostream& rows) const {
    for (std::size_t i = 0; i < clip_.seconds.size(); ++i) {
      const FollowedPoint& p = effort_.followed[i];
      if (p.by_hand) continue;
      const auto off = [&](PointPx at) {
        return clip_.truth[i].visible ? Distance(at, TipOf(clip_, i)) / clip_.truth[i].eye.px_per_mm : 99;
      };
      if (p.pose)
        rows << fmt::format("place {} {} {:.4f} {:.4f} {:.4f} {} {:.4f} {}\n", clip_.plan.seed, i,
                            off(p.pose->tip), p.margin, p.odds, Text(p.evidence), p.unsteady_mm,
                            Aside(i, p.pose->tip));
      else
        rows << fmt::format("none {} {} {} {:.4f}\n", clip_.plan.seed, i, clip_.truth[i].visible, p.margin);
      const auto seen = follower_.Seen(i);
      if (!seen) continue;
      for (const TipCandidate& c : *seen)
        rows << fmt::format("candidate {} {} {:.4f} {:.4f} {:.4f} {}\n", clip_.plan.seed, i,
                            off(PictureFromReference(clip_.poses[i], clip_.eye, c.pose.tip)), 0.0, c.odds,
                            Text(c.evidence));
    }
  }

 private:
  // How far from the true tip, along the true shaft towards the hand and across it, mm.
  std::string Aside(std::size_t i, PointPx at) const {
    const FollowClip::Truth& truth = clip_.truth[i];
    const OffsetPx axis = truth.shaft.towards_hand - truth.shaft.tip, d = at - truth.shaft.tip;
    const double mm = axis.Length() * truth.eye.px_per_mm;
    return fmt::format("{:.3f} {:.3f}", Dot(axis, d) / mm, (axis.x * d.y - axis.y * d.x) / mm);
  }
  static std::string Text(const TipEvidence& e) {
    return fmt::format("{} {:.4f} {:.4f} {:.2f} {:.2f} {:.3f} {:.2f} {:.3f} {:.3f} {:.3f} {} {}",
                       e.by_ground ? 1 : 0, e.score, e.fit, e.behind, e.beyond, e.goes_on, e.off_pivot,
                       e.seconds, e.forth, e.back, e.Walks(), e.arrived);
  }

  const FollowClip& clip_;
  const FollowOptions& options_;
  FollowEffort& effort_;
  TrailFollower follower_;
  std::size_t looked_ = 0;
  double looking_ = 0;
};

}  // namespace

const char* NameOf(Miss miss) {
  constexpr std::array<const char*, kMisses> kNames{"given up", "other tool",  "focus lost", "leaving",
                                                    "inexact",  "along shaft", "fast",       "elsewhere"};
  return kNames.at(static_cast<std::size_t>(miss));
}

std::optional<double> PathError(const FollowClip& clip, const std::vector<FollowedPoint>& points,
                                double least_confidence) {
  const phantom::Scene& scene = clip.phantom->scene();
  const double px_per_mm = clip.px_per_mm * kPopulationCornealDiameter.mm / scene.eye.corneal_diameter_mm *
                           scene.eye.CapsuleMagnification();
  TipPathOptions options;
  options.point_sd = 0.3, options.simulations = 10;  // as the findings have it for a followed trail
  options.movement_speed = 2 * px_per_mm, options.still_speed = 0.5 * px_per_mm;
  std::vector<TipStretch> stretches;
  for (const TipStretch& believed : BelievedStretches(clip, points, least_confidence))
    for (TipStretch& whole : SplitAtGaps(believed)) stretches.push_back(std::move(whole));
  std::erase_if(stretches, [](const TipStretch& s) { return s.size() < 8; });
  const auto path = MeasureTipPath(stretches, options, nullptr);
  if (!path) return std::nullopt;
  double truth = 0;
  for (const TipStretch& s : stretches)
    truth += phantom::PathLength(
        phantom::FilteredPath(scene, clip.use, s.front().seconds, s.back().seconds, 1.0 / 120,
                              path->cutoff_hz / std::pow(std::sqrt(2.0) - 1, 0.25), 2));
  if (truth < 1) return std::nullopt;
  return path->length.value / px_per_mm / truth - 1;
}

FollowEffort ReviewFollower(const FollowClip& clip, const FollowOptions& options, int most_points) {
  FollowEffort effort;
  Follower follower(clip, options, effort);
  cv::RNG hand(clip.plan.seed);
  const double click_sd = kClickSdPx * clip.plan.enlarged;
  std::size_t click = clip.pictures.size() / 2;
  for (;;) {
    follower.Set(click, {hand.gaussian(click_sd), hand.gaussian(click_sd)});
    const Score score = follower.Follow();
    click = NextClick(clip, effort.followed, score);
    if (effort.kept >= kKeptShare || effort.points >= most_points || click == clip.pictures.size()) break;
    ++effort.misses[static_cast<std::size_t>(MissOf(clip, effort.followed[click], score.off[click], click))];
  }
  effort.path_error = PathError(clip, effort.followed, options.least_confidence);
  return effort;
}

FollowEffort ReviewEvenly(const FollowClip& clip, const FollowOptions& options, std::ostream* rows) {
  constexpr double kSecondsBetween = 4, kPointSdPx = 1.5, kSharedSdPx = 1;
  constexpr int kRounds = 2;
  constexpr std::size_t kARound = 2;
  FollowEffort effort;
  Follower follower(clip, options, effort);
  cv::RNG hand(clip.plan.seed);
  const OffsetPx shared{hand.gaussian(kSharedSdPx), hand.gaussian(kSharedSdPx)};
  const auto set = [&](std::size_t i) {
    follower.Set(i, shared + OffsetPx{hand.gaussian(kPointSdPx), hand.gaussian(kPointSdPx)});
  };
  double due = clip.seconds.front();
  for (std::size_t i = 0; i + 1 < clip.seconds.size(); ++i)
    if (clip.seconds[i] >= due && clip.seconds.back() - due > kSecondsBetween / 2)
      set(i), due += kSecondsBetween;
  set(clip.seconds.size() - 1);
  for (int round = 0;; ++round) {
    follower.Follow();
    if (rows) follower.AddRows(*rows);
    if (round == kRounds) break;
    for (const std::size_t i : DoubtfulFrames(effort.followed, options.least_confidence, kARound)) set(i);
  }
  effort.path_error = PathError(clip, effort.followed, options.least_confidence);
  return effort;
}

FollowEffort ReviewTracker(const FollowClip& clip, Tracker kind) {
  FollowEffort effort;
  const int half = cvRound(0.9 * clip.px_per_mm);
  cv::Ptr<cv::Tracker> csrt;
  cv::Point2f at;
  const auto color = [&](std::size_t i) {
    cv::Mat bgr;
    cv::cvtColor(clip.pictures[i], bgr, cv::COLOR_GRAY2BGR);
    return bgr;
  };
  const auto set = [&](std::size_t i) {
    at = {static_cast<float>(TipOf(clip, i).x), static_cast<float>(TipOf(clip, i).y)};
    ++effort.points;
    if (kind != Tracker::kCsrt) return;
    csrt = cv::TrackerCSRT::create();
    csrt->init(color(i), cv::Rect(cvRound(at.x) - half, cvRound(at.y) - half, 2 * half, 2 * half));
  };
  set(0);
  int off = 0, good = 0, visible = 0;
  const double start = Now();
  for (std::size_t i = 1; i < clip.pictures.size(); ++i) {
    if (kind == Tracker::kCsrt) {
      cv::Rect box;
      if (csrt->update(color(i), box)) at = {box.x + 0.5F * box.width, box.y + 0.5F * box.height};
    } else {
      std::vector<cv::Point2f> from{at}, to;
      std::vector<std::uint8_t> found;
      std::vector<float> error;
      cv::calcOpticalFlowPyrLK(clip.pictures[i - 1], clip.pictures[i], from, to, found, error);
      at = to[0];
    }
    if (!clip.truth[i].visible) continue;
    ++visible;
    const bool close = Distance(PointPx{at.x, at.y}, TipOf(clip, i)) <= KeptPx(clip, i);
    off = close ? 0 : off + 1;
    good += close;
    if (off >= 3) set(i), off = 0, ++good;
  }
  effort.kept = static_cast<double>(good) / std::max(1, visible);
  effort.seconds_a_frame = (Now() - start) / static_cast<double>(clip.pictures.size());
  return effort;
}

}  // namespace afterscope::testing
