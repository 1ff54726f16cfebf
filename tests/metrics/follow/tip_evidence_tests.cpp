// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_evidence.hpp"
#include "metrics/follow/tip_sight.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

namespace afterscope {
namespace {

constexpr double kRodPxPerMm = 16;

// A light rod along +x from `from`, on a ground that grows lighter to the right.
cv::Mat RodFrom(int from) {
  cv::Mat picture(120, 200, CV_8UC1);
  for (int y = 0; y < picture.rows; ++y)
    for (int x = 0; x < picture.cols; ++x)
      picture.at<std::uint8_t>(y, x) = static_cast<std::uint8_t>(60 + x / 4);
  cv::rectangle(picture, {from, 57}, {199, 63}, 190, cv::FILLED);
  return picture;
}

}  // namespace

// Expected values: by construction of the picture.
TEST_CASE("A shaft goes on past a place along it, and not past its end", "[follow]") {
  const cv::Mat freed = FreedOfLight(RodFrom(80), kTipSights.front(), kRodPxPerMm);
  CHECK(GoesOn(freed, {{80, 60}, {}}, kRodPxPerMm) < 0.1);
  CHECK(GoesOn(freed, {{140, 60}, {}}, kRodPxPerMm) > 0.9);
  CHECK(GoesOn(cv::Mat(120, 200, CV_8UC1, 100), {{100, 60}, {}}, kRodPxPerMm) == 0);  // nothing is seen
}

TEST_CASE("A picture freed of its light is the same in half the light", "[follow]") {
  const cv::Mat picture = RodFrom(80);
  for (const TipSight& sight : kTipSights) {
    const cv::Mat full = FreedOfLight(picture, sight, kRodPxPerMm),
                  half = FreedOfLight(0.5 * picture, sight, kRodPxPerMm);
    cv::Mat apart;
    cv::absdiff(full, half, apart);
    CHECK(cv::mean(apart)[0] < 2);                                  // of 100
    CHECK(std::abs(cv::mean(full.colRange(10, 60))[0] - 100) < 2);  // away from the rod
  }
}

TEST_CASE("A place that walks came to is likelier, and one past which the shaft goes on less", "[follow]") {
  TipEvidence evidence;
  evidence.fit = 0.9, evidence.behind = 10;
  const double alone = OddsOf(evidence);
  evidence.walked_by = 0b1111, evidence.forth = evidence.back = 0.95, evidence.arrived = 4;
  const double walked = OddsOf(evidence);
  CHECK(walked > alone);
  evidence.goes_on = 1;
  CHECK(OddsOf(evidence) < walked);
}

}  // namespace afterscope
