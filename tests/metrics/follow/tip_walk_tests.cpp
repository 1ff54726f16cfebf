// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_walk.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <cmath>

namespace afterscope {
namespace {

constexpr double kWalkPxPerMm = 10;
constexpr double kFrame = 1.0 / 30;
const PointPx kPivot{65, 125};

// A rod from the pivot that ends at a place, over noise: what lies behind it is away (128).
cv::Mat Drawn(PointPx tip, int seed) {
  cv::Mat picture(131, 131, CV_8UC1);
  cv::RNG random(static_cast<std::uint64_t>(seed));
  random.fill(picture, cv::RNG::NORMAL, 128, 3);
  constexpr int kShift = 4, kOne = 1 << kShift;
  cv::line(picture, {cvRound(kOne * tip.x), cvRound(kOne * tip.y)},
           {cvRound(kOne * kPivot.x), cvRound(kOne * kPivot.y)}, 190, 4, cv::LINE_AA, kShift);
  return picture;
}

PointPx Circling(int i) { return {65 + 15 * std::cos(0.08 * i), 55 + 15 * std::sin(0.08 * i)}; }

TipPose PoseAt(PointPx tip) {
  const OffsetPx to = kPivot - tip;
  return {tip, Angle::Radians(std::atan2(to.y, to.x))};
}

}  // namespace

TEST_CASE("A walk keeps to an end that moves, without being told where it is", "[follow]") {
  TipWalk walk(Drawn(Circling(0), 1), PoseAt(Circling(0)), kWalkPxPerMm, kTipSights.front());
  for (int i = 1; i < 60; ++i) {
    const auto step = walk.Next(Drawn(Circling(i), i + 1), kFrame, {});
    REQUIRE(step);
    CHECK(step->unbroken);
    // A millimetre and more a third of a second; 0.1 mm is a pixel.
    CHECK(Distance(step->pose.tip, Circling(i)) < 1);
  }
}

TEST_CASE("A walk bridges nothing: what is not seen is not there, and after long it is broken", "[follow]") {
  TipWalk walk(Drawn(Circling(0), 1), PoseAt(Circling(0)), kWalkPxPerMm, kTipSights.front());
  const cv::Mat nothing(131, 131, CV_8UC1, 128);
  for (int i = 0; i < 12; ++i) CHECK_FALSE(walk.Next(nothing, kFrame, {}));
  // Nor does it begin again by itself elsewhere; where a picture shows an end clearly, it does, and says so.
  const PointPx far{30, 30};
  CHECK_FALSE(walk.Next(nothing, kFrame, {}));
  const auto step = walk.Next(nothing, kFrame, {PoseAt(far)});
  REQUIRE(step);
  CHECK_FALSE(step->unbroken);
  CHECK(Distance(step->pose.tip, far) == 0);
}

TEST_CASE("A walk over frames that are not known says nothing of them", "[follow]") {
  TipWalk walk(Drawn(Circling(0), 1), PoseAt(Circling(0)), kWalkPxPerMm, kTipSights.front());
  for (int i = 0; i < 10; ++i) CHECK_FALSE(walk.Next({}, kFrame, {PoseAt(Circling(i))}));
  const auto again = walk.Next(Drawn(Circling(3), 3), kFrame, {PoseAt(Circling(3))});
  CHECK((!again || !again->unbroken));
}

}  // namespace afterscope
