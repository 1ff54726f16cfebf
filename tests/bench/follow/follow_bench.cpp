// SPDX-License-Identifier: Apache-2.0
// What following an instrument costs a reviewer, on phantoms that it was never tuned on, beside OpenCV's
// trackers in the same run. Usage: follow_bench [--quick] [--seed N] [--count K] [--skip K]
// [--frames N] [--no-trackers]
// [--evenly] (the reviewer of verify) [--keep FOLDER] (of pictures) [--rows FILE] (of what was found, evenly
// only) The follower was made while looking at seeds 300 to 399 and 94001 to 94012.
#include "metrics/follow/trail_follower.hpp"
#include "tests/bench/follow/follow_review.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <string>
#include <string_view>

namespace afterscope::testing {
namespace {

struct Call {
  std::uint64_t seed = 91001;
  int count = 30;
  int skip = 0;
  std::size_t frames = 600;
  bool trackers = true;
  bool evenly = false;
  std::string keep, rows;
};

Call CallFrom(int argc, char** argv) {
  Call call;
  for (int i = 1; i < argc; ++i) {
    const std::string_view word = argv[i];
    const char* next = i + 1 < argc ? argv[i + 1] : "";
    const long value = std::atol(next);
    if (word == "--quick") call.count = 9, call.frames = 240;
    if (word == "--seed") call.seed = static_cast<std::uint64_t>(value);
    if (word == "--count") call.count = static_cast<int>(value);
    if (word == "--skip") call.skip = static_cast<int>(value);
    if (word == "--frames") call.frames = static_cast<std::size_t>(value);
    if (word == "--no-trackers") call.trackers = false;
    if (word == "--evenly") call.evenly = true, call.trackers = false;
    if (word == "--keep") call.keep = next;
    if (word == "--rows") call.rows = next;
  }
  return call;
}

double Quantile(std::vector<double> values, double share) {
  if (values.empty()) return NAN;
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1) + 0.5)];
}

// One line of the table: what is wanted, and what was measured at two quantiles.
struct Line {
  const char* what;
  double first_share, first_wanted;
  double second_share, second_wanted;
  std::vector<double> values;
};

struct Tables {
  Line own{"hand-set points a 600 frames", 0.5, 8, 0.9, 16, {}};
  Line flow{"  Lucas-Kanade", 0.5, NAN, 0.9, NAN, {}};
  Line csrt{"  CSRT", 0.5, NAN, 0.9, NAN, {}};
  Line path{"path length off, eye usual (share)", 0.5, 0.02, 0.95, 0.05, {}};
  Line restless{"path length off, 2 mm eye motion, zoom 1.4", 0.5, 0.02, 0.95, 0.05, {}};
  Line speed{"ms a frame", 0.5, NAN, 0.9, NAN, {}};
  Line csrt_speed{"  CSRT", 0.5, NAN, 0.9, NAN, {}};
  double visible = 0, believed = 0, wrong = 0;  // frames
  std::array<int, kMisses> misses{};
  Line kept{"share kept within 0.15 mm", 0.5, NAN, 0.1, NAN, {}};
};

void Count(const FollowClip& clip, const FollowEffort& effort, Tables& out) {
  const double per_600 = 600.0 / static_cast<double>(clip.pictures.size());
  out.own.values.push_back(effort.points * per_600);
  out.kept.values.push_back(effort.kept);
  out.speed.values.push_back(1000 * effort.seconds_a_frame);
  if (effort.path_error)
    (clip.plan.restless ? out.restless : out.path).values.push_back(std::abs(*effort.path_error));
  const auto visible = static_cast<double>(std::count_if(
      clip.truth.begin(), clip.truth.end(), [](const FollowClip::Truth& t) { return t.visible; }));
  out.visible += visible;
  out.believed += effort.believed * visible;
  out.wrong += effort.wrong * effort.believed * visible;
  for (std::size_t i = 0; i < kMisses; ++i) out.misses[i] += effort.misses[i];
}

void Print(const FollowClip& clip, const FollowEffort& e) {
  fmt::print(
      "seed {} difficulty {}{} tool {} frames {}: {} points, kept {:.3f}, believed {:.3f}, wrong {:.4f}, "
      "path "
      "{}, {:.1f} ms a frame, prepared in {:.1f} s, solved in {:.2f} s",
      clip.plan.seed, static_cast<int>(clip.plan.difficulty), clip.plan.restless ? " restless" : "",
      static_cast<int>(clip.use.tool), clip.pictures.size(), e.points, e.kept, e.believed, e.wrong,
      e.path_error ? fmt::format("{:+.3f}", *e.path_error) : "none", 1000 * e.seconds_a_frame,
      e.prepare_seconds, e.solve_seconds);
  for (std::size_t i = 0; i < kMisses; ++i)
    if (e.misses[i] > 0) fmt::print("; {} {}", NameOf(static_cast<Miss>(i)), e.misses[i]);
  fmt::print("\n");
  std::fflush(stdout);
}

std::string Wanted(double value) { return std::isnan(value) ? "" : fmt::format("(wanted {:g})", value); }

void Print(const Line& line) {
  if (line.values.empty()) return;
  fmt::print("{:<46} {:>3.0f} %: {:>7.3f} {:<14} {:>3.0f} %: {:>7.3f} {:<14} of {}\n", line.what,
             100 * line.first_share, Quantile(line.values, line.first_share), Wanted(line.first_wanted),
             100 * line.second_share, Quantile(line.values, line.second_share), Wanted(line.second_wanted),
             line.values.size());
}

void Print(const Tables& all) {
  fmt::print("\n");
  for (const Line* line :
       {&all.own, &all.kept, &all.flow, &all.csrt, &all.path, &all.restless, &all.speed, &all.csrt_speed})
    Print(*line);
  fmt::print(
      "believed of the seen frames {:.3f} (wanted 0.85), of those off by more than 0.3 mm {:.4f} (wanted "
      "0.01)\npoints after the first, by what was wrong:",
      all.believed / all.visible, all.wrong / std::max(1.0, all.believed));
  for (std::size_t i = 0; i < kMisses; ++i)
    fmt::print(" {} {};", NameOf(static_cast<Miss>(i)), all.misses[i]);
  fmt::print("\n");
}

void Run(const Call& call) {
  cv::setNumThreads(1);
  Tables tables;
  std::ofstream rows;
  if (!call.rows.empty()) rows.open(call.rows);
  for (int k = call.skip; k < call.count; ++k) {
    ClipPlan plan;
    plan.seed = call.seed + static_cast<std::uint64_t>(k);
    plan.difficulty = static_cast<phantom::Difficulty>(k % 3);
    plan.most_frames = call.frames;
    plan.restless = k % 2 == 1, plan.forceps = k / 2 % 2 == 0;
    const FollowClip clip = call.keep.empty() ? RenderClip(plan) : KeptClip(plan, call.keep);
    const FollowEffort effort =
        call.evenly ? ReviewEvenly(clip, {}, rows.is_open() ? &rows : nullptr) : ReviewFollower(clip, {});
    Count(clip, effort, tables);
    if (call.trackers) {
      const double per_600 = 600.0 / static_cast<double>(clip.pictures.size());
      tables.flow.values.push_back(per_600 * ReviewTracker(clip, Tracker::kLucasKanade).points);
      const FollowEffort csrt = ReviewTracker(clip, Tracker::kCsrt);
      tables.csrt.values.push_back(per_600 * csrt.points);
      tables.csrt_speed.values.push_back(1000 * csrt.seconds_a_frame);
      fmt::print("points a 600 frames: own {:.1f}, Lucas-Kanade {:.1f}, CSRT {:.1f}\n",
                 tables.own.values.back(), tables.flow.values.back(), tables.csrt.values.back());
    }
    Print(clip, effort);
  }
  Print(tables);
}

}  // namespace
}  // namespace afterscope::testing

int main(int argc, char** argv) {
  afterscope::testing::Run(afterscope::testing::CallFrom(argc, argv));
  return 0;
}
