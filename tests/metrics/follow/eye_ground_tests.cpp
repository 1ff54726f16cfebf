// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/eye_ground.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

// A bright bar that goes over a step of two grays, ten frames a second.
struct Clip {
  std::vector<double> seconds;
  std::vector<cv::Mat> pictures;
};

Clip DrawClip(std::size_t count) {
  Clip clip;
  for (std::size_t i = 0; i < count; ++i) {
    cv::Mat picture(20, 100, CV_8UC1, cv::Scalar(60));
    picture.colRange(50, 100) = 120;
    const int at = static_cast<int>(i * 7 % 90);
    picture.colRange(at, at + 10) = 200;
    clip.pictures.push_back(picture);
    clip.seconds.push_back(0.1 * static_cast<double>(i));
  }
  return clip;
}

EyeGround GroundOf(const Clip& clip) {
  EyeGround ground(clip.seconds);
  for (const std::size_t i : ground.Frames()) ground.Add(i, clip.pictures[i]);
  ground.Finish();
  return ground;
}

}  // namespace

TEST_CASE("What moves is not part of the ground, what stays is", "[follow]") {
  const Clip clip = DrawClip(200);
  const cv::Mat ground = GroundOf(clip).At(100);
  REQUIRE(ground.size() == cv::Size(100, 20));
  CHECK(cv::countNonZero(ground.colRange(0, 50) != 60) == 0);
  CHECK(cv::countNonZero(ground.colRange(50, 100) != 120) == 0);
}

TEST_CASE("Against the ground only the instrument differs, by what it is lighter or darker", "[follow]") {
  const Clip clip = DrawClip(200);
  const cv::Mat against = AgainstGround(clip.pictures[3], GroundOf(clip).At(3));  // the bar at 21
  CHECK(against.at<std::uint8_t>(10, 5) == 128);
  CHECK(against.at<std::uint8_t>(10, 90) == 128);
  CHECK(against.at<std::uint8_t>(10, 26) > 128 + 100);
}

TEST_CASE("Few pictures tell no ground; where nothing was shown it is not known", "[follow]") {
  CHECK(GroundOf(DrawClip(8)).At(4).empty());
  CHECK(GroundOf({}).At(0).empty());
  Clip clip = DrawClip(100);
  for (cv::Mat& picture : clip.pictures) picture.rowRange(0, 5) = 0;
  const cv::Mat ground = GroundOf(clip).At(50);
  CHECK(ground.at<std::uint8_t>(2, 20) == 0);
  CHECK(AgainstGround(clip.pictures[0], ground).at<std::uint8_t>(2, 20) == 128);
}

}  // namespace afterscope
