// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_glimpse.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <cmath>

namespace afterscope {
namespace {

constexpr double kGlimpsePxPerMm = 16;

// A dark rod of 0.6 mm whose end is at `tip`, on a light ground.
cv::Mat Rod(PointPx tip, Angle shaft) {
  cv::Mat picture(300, 300, CV_8UC1, cv::Scalar(180));
  const cv::Point2d along(std::cos(shaft.radians()), std::sin(shaft.radians()));
  const auto at = [](cv::Point2d p) { return cv::Point(cvRound(16 * p.x), cvRound(16 * p.y)); };
  const cv::Point2d end(tip.x, tip.y), beside = 0.3 * kGlimpsePxPerMm * cv::Point2d(-along.y, along.x);
  const std::vector<cv::Point> body{at(end + beside), at(end - beside), at(end - beside + 400 * along),
                                    at(end + beside + 400 * along)};
  cv::fillConvexPoly(picture, body, cv::Scalar(60), cv::LINE_AA, 4);
  return picture;
}

}  // namespace

TEST_CASE("A moved and turned end gives the same glimpse, a place along the shaft another", "[follow]") {
  const TipPose a{{120, 140}, Angle::Degrees(20)}, b{{160.4, 121.7}, Angle::Degrees(65)};
  const cv::Mat first = Rod(a.tip, a.shaft), second = Rod(b.tip, b.shaft);
  const TipGlimpse here = GlimpseOf(first, a, kGlimpsePxPerMm);
  CHECK(Likeness(here, GlimpseOf(second, b, kGlimpsePxPerMm)) > 0.95);
  CHECK(Likeness(here, GlimpseOf(0.5 * second + 40, b, kGlimpsePxPerMm)) > 0.95);  // other light
  const OffsetPx back =
      0.8 * kGlimpsePxPerMm * OffsetPx{std::cos(b.shaft.radians()), std::sin(b.shaft.radians())};
  CHECK(Likeness(here, GlimpseOf(second, {b.tip + back, b.shaft}, kGlimpsePxPerMm)) < 0.8);
}

TEST_CASE("Degenerate: a flat place is not told from anything", "[follow]") {
  const cv::Mat flat(100, 100, CV_8UC1, cv::Scalar(90));
  const TipGlimpse none = GlimpseOf(flat, {{50, 50}, {}}, kGlimpsePxPerMm);
  CHECK(Likeness(none, GlimpseOf(Rod({50, 50}, {}), {{50, 50}, {}}, kGlimpsePxPerMm)) == 1);
}

}  // namespace afterscope
