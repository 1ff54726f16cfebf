// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_looks.hpp"
#include "metrics/follow/tip_template.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <cmath>

namespace afterscope {
namespace {

constexpr double kTemplatePxPerMm = 24;

// A shaft with two edges and a bright line, drawn eight times as large and made small, so that its place is
// true to a fraction of a pixel.
cv::Mat Drawn(const TipPose& pose) {
  constexpr int kLarge = 8;
  cv::Mat large(300 * kLarge, 300 * kLarge, CV_8UC1, cv::Scalar(140)), out;
  const auto at = [&](double along, double across) {
    const double c = std::cos(pose.shaft.radians()), s = std::sin(pose.shaft.radians());
    const double x = pose.tip.x + c * along - s * across, y = pose.tip.y + s * along + c * across;
    return cv::Point(cvRound((x + 0.5) * kLarge - 0.5), cvRound((y + 0.5) * kLarge - 0.5));
  };
  cv::fillConvexPoly(large, std::vector<cv::Point>{at(0, 0), at(8, 5), at(400, 8), at(400, -8), at(8, -5)},
                     cv::Scalar(60));
  cv::line(large, at(4, 1), at(400, 2), cv::Scalar(210), kLarge);
  cv::resize(large, out, {300, 300}, 0, 0, cv::INTER_AREA);
  return out;
}

// Two blades beside each other, each that far (pixels) from the line between them.
cv::Mat DrawnBlades(const TipPose& pose, double apart) {
  constexpr int kLarge = 8;
  cv::Mat large(300 * kLarge, 300 * kLarge, CV_8UC1, cv::Scalar(140)), out;
  const double c = std::cos(pose.shaft.radians()), s = std::sin(pose.shaft.radians());
  const auto at = [&](double along, double across) {
    const double x = pose.tip.x + c * along - s * across, y = pose.tip.y + s * along + c * across;
    return cv::Point(cvRound((x + 0.5) * kLarge - 0.5), cvRound((y + 0.5) * kLarge - 0.5));
  };
  for (const double blade : {-apart, apart})
    cv::line(large, at(0, blade), at(400, blade), cv::Scalar(60), 4 * kLarge);
  cv::resize(large, out, {300, 300}, 0, 0, cv::INTER_AREA);
  return out;
}

}  // namespace

TEST_CASE(
    "A look at closed blades, opened, is that of blades opened as far, and closed again that of closed "
    "ones") {
  const TipPose pose{{150, 150}, Angle::Degrees(30)};
  const double opening_mm = GENERATE(0.125, 0.25);
  const cv::Mat closed = DrawnBlades(pose, 3), open = DrawnBlades(pose, 3 + opening_mm * kTemplatePxPerMm);
  const TipTemplateWidth wide{0.8, 0.4};
  const TipTemplate look(closed, pose, kTemplatePxPerMm, 16, wide);
  const TipTemplate opened = look.Opened(opening_mm), far_open = look.Opened(opening_mm + 0.125);
  const cv::Mat sample = look.SampleAt(open, pose, kTemplatePxPerMm);
  CHECK(opened.LikenessTo(sample) > 0.9);
  CHECK(look.LikenessTo(sample) < 0.5);
  CHECK(far_open.LikenessTo(sample) < opened.LikenessTo(sample) - 0.2);
  const TipTemplate again = TipTemplate(open, pose, kTemplatePxPerMm, 16, wide).Opened(-opening_mm);
  CHECK(again.LikenessTo(look.SampleAt(closed, pose, kTemplatePxPerMm)) > 0.9);
  // The look that it was made from stays as it was.
  CHECK(look.LikenessTo(look.SampleAt(closed, pose, kTemplatePxPerMm)) > 0.99);
}

TEST_CASE("A drawn instrument's place is found to a fifth of a pixel, its direction to a degree") {
  const TipPose learnt{{150, 150}, Angle::Degrees(30)};
  const TipTemplate look(Drawn(learnt), learnt, kTemplatePxPerMm, 18);
  const TipPose truth{{141.3, 162.6}, Angle::Degrees(GENERATE(27.0, 30.0, 34.0))};
  const cv::Mat picture = Drawn(truth);
  const double dx = GENERATE(-2.5, 1.5), dy = GENERATE(-1.5, 2.0), turned = GENERATE(-3.0, 2.0);
  const TipPose start{{truth.tip.x + dx, truth.tip.y + dy}, truth.shaft + Angle::Degrees(turned)};
  const auto fit = look.Fitted(picture, start, kTemplatePxPerMm);
  CHECK(fit.likeness > 0.95);
  CHECK(Distance(fit.pose.tip, truth.tip) < 0.2);
  CHECK(std::abs((fit.pose.shaft - truth.shaft).degrees()) < 1);
}

TEST_CASE("A look that can't be laid over the picture says so") {
  const TipPose pose{{150, 150}, Angle::Degrees(30)};
  const cv::Mat flat(300, 300, CV_8UC1, cv::Scalar(90));
  CHECK(TipTemplate(Drawn(pose), pose, kTemplatePxPerMm, 18).Fitted(flat, pose, kTemplatePxPerMm).likeness ==
        0);
  CHECK(TipTemplate(flat, pose, kTemplatePxPerMm, 18).Fitted(Drawn(pose), pose, kTemplatePxPerMm).likeness ==
        0);
}

TEST_CASE("Looking for a tip leaves the picture as it is") {
  const TipPose pose{{150, 150}, Angle::Degrees(30)};
  const cv::Mat picture = Drawn(pose), before = picture.clone();
  TipLooks looks(kTemplatePxPerMm);
  const TipRegion region{{150, 150}, 60, pose.shaft, Angle::Degrees(20)};
  looks.Learn(picture, pose, region);
  CHECK_FALSE(looks.Look(picture, region, looks.FilterFor({0})).empty());
  CHECK(cv::norm(picture, before, cv::NORM_INF) == 0);
}

}  // namespace afterscope
