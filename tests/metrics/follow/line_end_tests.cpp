// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/line_end.hpp"
#include "metrics/follow/tip_sight.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <cmath>

namespace afterscope {
namespace {

constexpr double kPxPerMm = 16;

// A thin shaft from `end` to the right on a ground that is lighter from x = 150 on, as seen without its
// light.
cv::Mat Shaft(double end) {
  cv::Mat picture(200, 320, CV_8UC1, cv::Scalar(90));
  picture.colRange(150, picture.cols).setTo(130);
  cv::rectangle(picture, cv::Rect(cv::Point(static_cast<int>(end), 96), cv::Point(320, 105)), cv::Scalar(50),
                -1);
  cv::rectangle(picture, cv::Rect(cv::Point(static_cast<int>(end), 99), cv::Point(320, 101)), cv::Scalar(220),
                -1);
  return FreedOfLight(picture, kTipSights.front(), kPxPerMm);
}

TipPose At(double x, double y = 100) { return {{x, y}, Angle::Degrees(0)}; }

}  // namespace

TEST_CASE("The end of a straight shaft is seen along its line, on a ground that changes there", "[follow]") {
  const cv::Mat freed = Shaft(160);
  for (const double off_mm : {-1.5, -0.5, 0.0, 0.5, 1.5}) {
    const auto end = LineEnd(freed, At(160 - off_mm * kPxPerMm), kPxPerMm);
    REQUIRE(end);
    CHECK(*end == Approx(off_mm).margin(0.15));
  }
  CHECK_FALSE(LineEnd(cv::Mat(200, 320, CV_8UC1, cv::Scalar(100)), At(160), kPxPerMm));
}

TEST_CASE("A place is moved to the end as the hand sets it, if hands agree and it is near", "[follow]") {
  const cv::Mat freed = Shaft(160);
  LineEnds ends;
  CHECK_FALSE(ends.Moved(freed, At(160), kPxPerMm));  // nothing learnt
  ends.Learn({0.2, 0.22, 0.18});                      // the hand sets it 0.2 mm past what is seen
  const auto moved = ends.Moved(freed, At(154), kPxPerMm);
  REQUIRE(moved);
  CHECK(moved->tip.x == Approx(160 - 0.2 * kPxPerMm).margin(2));
  CHECK(moved->tip.y == 100);
  const auto far = ends.Moved(freed, At(130), kPxPerMm);  // nearly 2 mm off: left where it is
  REQUIRE(far);
  CHECK(far->tip == PointPx{130, 100});
  for (const std::vector<std::optional<double>>& scattered :
       {std::vector<std::optional<double>>{}, {0.1}, {0.1, {}, {}}, {-0.5, 0.1, 0.5}, {0.9, 0.9, 0.9}}) {
    ends.Learn(scattered);
    CHECK_FALSE(ends.Moved(freed, At(154), kPxPerMm));
  }
}

}  // namespace afterscope
