// SPDX-License-Identifier: Apache-2.0
// What measuring takes of the processor, "name value" lines in seconds, each beside what OpenCV or the
// standard library takes for the work at the heart of it, on the same pictures. Usage: measure_bench
#include "metrics/rhexis/outline_shape.hpp"
#include "tests/bench/bench_support.hpp"
#include "tests/bench/follow/follow_review.hpp"

#include <opencv2/imgproc.hpp>
#include <opencv2/video/tracking.hpp>

#include <cmath>
#include <cstdio>
#include <ctime>
#include <numbers>
#include <random>

using namespace afterscope;

namespace {

constexpr std::uint64_t kSeed = 4711;
constexpr std::size_t kFrames = 150;
constexpr int kFound = 12;    // pictures in which the eye is looked for
constexpr int kDraws = 2000;  // plausible outlines of a rhexis

template <class Work>
double ProcessorSeconds(Work work) {
  const std::clock_t start = std::clock();
  work();
  return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

void FindLimbus(const testing::FollowClip& clip) {
  std::vector<cv::Vec3f> circles;
  double ours = 0, theirs = 0;
  for (int i = 0; i < kFound; ++i) {
    const cv::Mat& picture = clip.pictures[static_cast<std::size_t>(i) * clip.pictures.size() / kFound];
    ours += ProcessorSeconds([&] { (void)FindEye(picture, std::nullopt); });
    theirs += ProcessorSeconds([&] { cv::HoughCircles(picture, circles, cv::HOUGH_GRADIENT, 2, 100); });
  }
  PrintValue("limbus", ours / kFound);
  PrintValue("hough_circles", theirs / kFound);
}

void FollowEye(const testing::FollowClip& clip) {
  const auto eye = FindEye(clip.pictures.front(), std::nullopt);
  if (!eye.ok()) Die(eye.error().message);
  const auto frames = static_cast<double>(clip.pictures.size() - 1);
  EyeMotion motion(clip.pictures.front(), *eye);
  PrintValue("eye", ProcessorSeconds([&] {
                      for (std::size_t i = 1; i < clip.pictures.size(); ++i)
                        (void)motion.Next(clip.pictures[i]);
                    }) / frames);
  std::vector<cv::Point2f> from, to;
  std::vector<std::uint8_t> found;
  std::vector<float> off;
  cv::goodFeaturesToTrack(clip.pictures.front(), from, static_cast<int>(EyeMotionOptions{}.points), 0.01, 5);
  PrintValue("optical_flow", ProcessorSeconds([&] {
                               for (std::size_t i = 1; i < clip.pictures.size(); ++i)
                                 cv::calcOpticalFlowPyrLK(clip.pictures.front(), clip.pictures[i], from, to,
                                                          found, off);
                             }) / frames);
}

void FollowTip(const testing::FollowClip& clip) {
  const testing::FollowEffort ours = testing::ReviewEvenly(clip, {});
  PrintValue("tip", ours.seconds_a_frame);
  PrintValue("tip_solved", ours.solve_seconds);
  PrintValue("csrt", testing::ReviewTracker(clip, testing::Tracker::kCsrt).seconds_a_frame);
}

void SimulateRhexis() {
  constexpr int kPoints = 36;
  std::vector<PointSq> marked;
  for (int i = 0; i < kPoints; ++i) {
    const double angle = 2 * std::numbers::pi * i / kPoints;
    marked.push_back({500 + 240 * std::cos(angle), 400 + 230 * std::sin(angle)});
  }
  PrintValue("rhexis", ProcessorSeconds([&] {
               const auto model = OutlineModel::Fit(marked, {1.5, 0.7}, nullptr);
               if (!model) Die("The outline is none.");
               (void)MeasureShape(*model, kDraws, 1);
             }));
  std::mt19937_64 random(1);
  std::normal_distribution<double> normal;
  double sum = 0;
  PrintValue("random_numbers", ProcessorSeconds([&] {
               for (int i = 0; i < kDraws * 2 * kPoints; ++i) sum += normal(random);
             }));
  if (!std::isfinite(sum)) Die("The random numbers are none.");
}

}  // namespace

int main() {
  std::setvbuf(stdout, nullptr, _IOLBF, 0);
  cv::setNumThreads(1);
  testing::ClipPlan plan;
  plan.seed = kSeed;
  plan.most_frames = kFrames;
  const testing::FollowClip clip = testing::RenderClip(plan);
  FindLimbus(clip);
  FollowEye(clip);
  FollowTip(clip);
  SimulateRhexis();
}
