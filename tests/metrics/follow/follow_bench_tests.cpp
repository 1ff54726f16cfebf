// SPDX-License-Identifier: Apache-2.0
#include "tests/metrics/follow/follow_bench_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/core.h>

#include <algorithm>
#include <cstdlib>

namespace afterscope {
namespace {

using testing::FollowEffort;

int Setting(const char* name, int otherwise) {
  const char* text = std::getenv(name);
  return text ? std::atoi(text) : otherwise;
}

double Quantile(std::vector<double> values, double share) {
  std::sort(values.begin(), values.end());
  return values.empty()
             ? 0
             : values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1) + 0.5)];
}

}  // namespace

// The follower was made while looking at seeds 300 to 309 of the phantom; the seeds here were kept aside.
// Settings: AFTERSCOPE_BENCH_SEED, AFTERSCOPE_BENCH_COUNT, AFTERSCOPE_BENCH_FRAMES, AFTERSCOPE_BENCH_TRACKERS
// (0: none).
TEST_CASE("Hand-set points needed per 600 frames, beside OpenCV's trackers", "[.][slow][bench]") {
  const int first = Setting("AFTERSCOPE_BENCH_SEED", 7001), count = Setting("AFTERSCOPE_BENCH_COUNT", 30);
  const auto frames = static_cast<std::size_t>(Setting("AFTERSCOPE_BENCH_FRAMES", 600));
  const bool trackers = Setting("AFTERSCOPE_BENCH_TRACKERS", 1) != 0;
  std::vector<double> own, flow, csrt, believed, wrong;
  for (int k = 0; k < count; ++k) {
    const testing::FollowClip clip =
        testing::RenderClip(static_cast<std::uint64_t>(first + k), k % 3, frames);
    const double per_600 = 600.0 / static_cast<double>(clip.pictures.size());
    const FollowEffort e = testing::ReviewFollower(clip, {});
    own.push_back(e.points * per_600), believed.push_back(e.believed), wrong.push_back(e.wrong);
    fmt::print(
        "seed {} difficulty {} frames {}: {:.1f} points per 600 (kept {:.3f}, believed {:.3f}, wrong {:.4f}, "
        "{:.1f} ms a frame)",
        clip.seed, clip.difficulty, clip.pictures.size(), own.back(), e.kept, e.believed, e.wrong,
        1000 * e.seconds_a_frame);
    if (trackers) {
      const FollowEffort a = testing::ReviewTracker(clip, testing::Tracker::kLucasKanade);
      const FollowEffort b = testing::ReviewTracker(clip, testing::Tracker::kCsrt);
      flow.push_back(a.points * per_600), csrt.push_back(b.points * per_600);
      fmt::print("; Lucas-Kanade {:.1f} (kept {:.3f}), CSRT {:.1f} (kept {:.3f}, {:.1f} ms)", flow.back(),
                 a.kept, csrt.back(), b.kept, 1000 * b.seconds_a_frame);
    }
    fmt::print("\n");
    std::fflush(stdout);
  }
  fmt::print(
      "points per 600 frames: median {:.1f}, 90 % {:.1f}; Lucas-Kanade {:.1f}, {:.1f}; CSRT {:.1f}, {:.1f}; "
      "believed {:.3f} "
      "(median), wrong {:.4f} (median), {:.4f} (90 %)\n",
      Quantile(own, 0.5), Quantile(own, 0.9), Quantile(flow, 0.5), Quantile(flow, 0.9), Quantile(csrt, 0.5),
      Quantile(csrt, 0.9), Quantile(believed, 0.5), Quantile(wrong, 0.5), Quantile(wrong, 0.9));
  CHECK(Quantile(own, 0.5) <= 8);
  CHECK(Quantile(own, 0.9) <= 16);
}

}  // namespace afterscope
