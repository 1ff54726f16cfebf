// SPDX-License-Identifier: Apache-2.0
#include "tests/metrics/follow/follow_bench_support.hpp"

#include "metrics/eye/find_eye.hpp"
#include "metrics/phantom/phantom.hpp"
#include "metrics/picture/mat_view.hpp"

#include <opencv2/imgproc.hpp>
#include <opencv2/tracking.hpp>
#include <opencv2/video/tracking.hpp>

#include <algorithm>
#include <ctime>

namespace afterscope::testing {
namespace {

constexpr double kKeptMm = 0.15, kKeptShare = 0.95, kClickSdPx = 1.0, kFramesPerSecond = 30;
constexpr double kMeanCorneaMm = 11.71;  // horizontal corneal diameter, population mean: design, "Scale"

phantom::ToolUse PickUse(const phantom::Script& script, std::uint64_t seed) {
  std::vector<phantom::ToolUse> uses;
  for (const phantom::ToolUse& use : script.tools)
    if (use.leave_s - use.enter_s > 5) uses.push_back(use);
  return uses.at(seed / 3 % uses.size());
}

struct Score {
  std::vector<double> off;  // pixels; very large where not followed
  int visible = 0, kept = 0, believed = 0, wrong = 0;
};

Score ScoreOf(const FollowClip& clip, const std::vector<FollowedPoint>& points, double least) {
  Score s;
  for (std::size_t i = 0; i < points.size(); ++i) {
    s.off.push_back(points[i].pose ? Distance(points[i].pose->tip, clip.true_tips[i]) : 1e9);
    if (!clip.visible[i]) continue;
    ++s.visible;
    s.kept += s.off[i] <= kKeptMm * clip.true_px_per_mm;
    if (!points[i].pose || points[i].confidence < least) continue;
    ++s.believed;
    s.wrong += s.off[i] > 2 * kKeptMm * clip.true_px_per_mm;
  }
  return s;
}

// The frame that the reviewer clicks in next; size() if none.
std::size_t NextClick(const FollowClip& clip, const std::vector<FollowedPoint>& points, const Score& score) {
  const double kept = kKeptMm * clip.true_px_per_mm;
  const auto bad = [&](std::size_t i) { return score.off[i] > kept && !points[i].by_hand; };
  std::size_t pick = points.size();
  for (std::size_t i = 0; i < points.size(); ++i)
    if (bad(i) && clip.visible[i] &&
        (pick == points.size() || points[i].confidence < points[pick].confidence))
      pick = i;
  if (pick == points.size()) return pick;
  std::size_t from = pick, to = pick;
  while (from > 0 && bad(from - 1) && clip.visible[from - 1]) --from;
  while (to + 1 < points.size() && bad(to + 1) && clip.visible[to + 1]) ++to;
  return (from + to) / 2;
}

// Seconds of the processor, all threads, so that what else the machine does counts little.
double Now() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

}  // namespace

FollowClip RenderClip(std::uint64_t seed, int difficulty, std::size_t most_frames) {
  phantom::Scene scene = phantom::RandomScene(seed, static_cast<phantom::Difficulty>(difficulty));
  scene.seconds = 150;  // so that an instrument stays for many seconds
  const phantom::Phantom recording(scene);
  phantom::Phantom::Brush brush;
  const phantom::ToolUse use = PickUse(recording.script(), seed);
  FollowClip clip;
  clip.seed = seed, clip.difficulty = difficulty, clip.true_px_per_mm = scene.px_per_mm;
  for (double t = use.enter_s + 0.1; t < use.leave_s - 0.1 && clip.pictures.size() < most_frames;
       t += 1 / kFramesPerSecond) {
    const Picture picture = recording.Render(t, brush);
    for (const phantom::ToolTruth& tool : recording.Truth(t).tools) {
      if (tool.tool != use.tool || tool.main_hand != use.main_hand) continue;
      clip.true_tips.push_back(tool.tip);
      clip.visible.push_back(cv::Rect(3, 3, picture.width - 7, picture.height - 7)
                                 .contains({cvRound(tool.tip.x), cvRound(tool.tip.y)}));
      clip.seconds.push_back(t);
      clip.pictures.push_back(LightnessOf(picture).clone());
    }
    if (clip.pictures.size() != 1) continue;
    const auto eye = FindEye(HalfBgrOf(picture), std::nullopt);
    const EyeEllipse limbus = eye.ok()
                                  ? Enlarged(eye->limbus.ellipse, 2)
                                  : EyeEllipse{{picture.width / 2.0, picture.height / 2.0}, 130, 120, {}};
    clip.px_per_mm = 2 * limbus.half_long / kMeanCorneaMm, clip.eye = limbus.center;
  }
  return clip;
}

FollowEffort ReviewFollower(const FollowClip& clip, const FollowOptions& options, int most_points) {
  FollowEffort effort;
  TrailFollower follower(clip.seconds, clip.px_per_mm, clip.eye, options);
  cv::RNG hand(clip.seed);
  std::size_t click = clip.pictures.size() / 2, looked = 0;
  double spent = 0;
  for (;;) {
    const PointPx tip = clip.true_tips[click];
    follower.SetByHand(click, clip.pictures[click],
                       {tip.x + hand.gaussian(kClickSdPx), tip.y + hand.gaussian(kClickSdPx)});
    ++effort.points;
    const double start = Now();
    for (const std::size_t i : follower.FramesToLookAt()) follower.Look(i, clip.pictures[i]), ++looked;
    const std::vector<FollowedPoint> points = follower.Solve();
    spent += Now() - start;
    const Score score = ScoreOf(clip, points, options.least_confidence);
    effort.kept = static_cast<double>(score.kept) / score.visible;
    effort.believed = static_cast<double>(score.believed) / score.visible;
    effort.wrong = score.believed ? static_cast<double>(score.wrong) / score.believed : 0;
    effort.seconds_a_frame = spent / static_cast<double>(looked);
    if (effort.kept >= kKeptShare || effort.points >= most_points) return effort;
    click = NextClick(clip, points, score);
    if (click == clip.pictures.size()) return effort;
  }
}

FollowEffort ReviewTracker(const FollowClip& clip, Tracker kind) {
  FollowEffort effort;
  const double kept = kKeptMm * clip.true_px_per_mm;
  const int half = cvRound(0.9 * clip.px_per_mm);
  cv::Ptr<cv::Tracker> csrt;
  cv::Point2f at;
  const auto color = [&](std::size_t i) {
    cv::Mat bgr;
    cv::cvtColor(clip.pictures[i], bgr, cv::COLOR_GRAY2BGR);
    return bgr;
  };
  const auto set = [&](std::size_t i) {
    at = {static_cast<float>(clip.true_tips[i].x), static_cast<float>(clip.true_tips[i].y)};
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
    if (!clip.visible[i]) continue;
    ++visible;
    const bool close = std::hypot(at.x - clip.true_tips[i].x, at.y - clip.true_tips[i].y) <= kept;
    off = close ? 0 : off + 1;
    good += close;
    if (off >= 3) set(i), off = 0, ++good;
  }
  effort.kept = static_cast<double>(good) / std::max(1, visible);
  effort.seconds_a_frame = (Now() - start) / static_cast<double>(clip.pictures.size());
  return effort;
}

}  // namespace afterscope::testing
