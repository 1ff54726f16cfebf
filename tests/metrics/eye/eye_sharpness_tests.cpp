// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/eye_sharpness.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

namespace afterscope {
namespace {

const EyeEllipse kLimbus{{240, 200}, 150, 140, {}};

cv::Mat Textured() {
  cv::Mat picture(400, 480, CV_8UC1);
  cv::theRNG().state = 11;
  cv::randn(picture, 120, 45);
  cv::GaussianBlur(picture, picture, {}, 1.5);
  return picture;
}

cv::Mat Blurred(const cv::Mat& picture, double sd) {
  cv::Mat out;
  cv::GaussianBlur(picture, out, {}, sd);
  return out;
}

}  // namespace

TEST_CASE("Sharpness falls with every blur and does not depend on light and contrast", "[eye]") {
  const cv::Mat sharp = Textured();
  const double at_first = EyeSharpness(sharp, kLimbus);
  CHECK(at_first > EyeSharpness(Blurred(sharp, 1.5), kLimbus));
  CHECK(EyeSharpness(Blurred(sharp, 1.5), kLimbus) > EyeSharpness(Blurred(sharp, 3), kLimbus));
  CHECK(EyeSharpness(0.6 * sharp + 70, kLimbus) == Approx(at_first).epsilon(0.05));
}

TEST_CASE("A glint and an instrument, sharp as they are, hardly change the eye's sharpness", "[eye]") {
  const cv::Mat blurred = Blurred(Textured(), 3);
  cv::Mat with = blurred.clone();
  cv::circle(with, {200, 170}, 6, cv::Scalar(255), cv::FILLED);
  cv::line(with, {240, 210}, {479, 300}, cv::Scalar(60), 9);
  CHECK(EyeSharpness(with, kLimbus) == Approx(EyeSharpness(blurred, kLimbus)).epsilon(0.15));
}

TEST_CASE("Degenerate: no picture, an eye outside it, a flat picture have the sharpness 0", "[eye]") {
  CHECK(EyeSharpness({}, kLimbus) == 0);
  CHECK(EyeSharpness(Textured(), {{2000, 2000}, 150, 140, {}}) == 0);
  CHECK(EyeSharpness(cv::Mat(400, 480, CV_8UC1, cv::Scalar(90)), kLimbus) == 0);
}

}  // namespace afterscope
