// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/eye_sharpness.hpp"
#include "tests/metrics/eye/real_frames_support.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <cmath>

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

cv::Mat Noisy(const cv::Mat& picture, double sd) {
  cv::Mat noise(picture.size(), CV_16SC1), out;
  cv::theRNG().state = 5;
  cv::randn(noise, 0, sd);
  cv::add(picture, noise, out, cv::noArray(), CV_8U);
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

// Zhuo and Sim 2011, eq. 5 (from memory): the ratio of gradients of a step of blur s, smoothed by a and by b,
// is sqrt((s^2 + b^2) / (s^2 + a^2)). Pixels are averages over a square (1 / 12) and a gradient is a
// difference over two of them (1 / 3), which widen a step as a blur of that variance does.
TEST_CASE("Steps have the sharpness that the ratio of their gradients gives", "[eye]") {
  cv::Mat steps(400, 480, CV_8UC1, cv::Scalar(80));
  for (int x = 40; x < steps.cols; x += 80) steps.colRange(x, x + 40).setTo(160);
  for (const double blur : {0.0, 1.0, 2.5}) {
    INFO("blur " << blur);
    const double variance = blur * blur + 1.0 / 12 + 1.0 / 3;
    const double expected = std::sqrt((variance + 2.4 * 2.4) / (variance + 1.2 * 1.2)) - 1;
    const cv::Mat picture = blur > 0 ? Blurred(steps, blur) : steps;
    CHECK(EyeSharpness(picture, {{240, 200}, 150, 150, {}}) == Approx(expected).margin(0.05));
  }
}

TEST_CASE("A glint hardly changes the eye's sharpness", "[eye]") {
  const cv::Mat blurred = Blurred(Textured(), 3);
  cv::Mat with = blurred.clone();
  cv::circle(with, {200, 170}, 6, cv::Scalar(255), cv::FILLED);
  CHECK(EyeSharpness(with, kLimbus) == Approx(EyeSharpness(blurred, kLimbus)).epsilon(0.15));
}

TEST_CASE("Real frames: a blur takes as much of the sharpness with noise as without", "[eye][real]") {
  for (const testing::RealFrame& frame : testing::RealFrames()) {
    INFO(frame.file);
    cv::Mat gray;
    cv::cvtColor(frame.picture, gray, cv::COLOR_BGR2GRAY);
    const double blur = 2 * (2 * frame.limbus.half_long / 300);  // px of 300 to the limbus' diameter
    for (const double noise_sd : {0.0, 4.0}) {
      const double sharp = EyeSharpness(Noisy(gray, noise_sd), frame.limbus);
      const double left = EyeSharpness(Noisy(Blurred(gray, blur), noise_sd), frame.limbus) / sharp;
      CHECK(left > 0.38);  // 0.42 to 0.60 when it was made
      CHECK(left < 0.66);
    }
  }
}

TEST_CASE("Degenerate: no picture, an eye outside it, a flat picture have the sharpness 0", "[eye]") {
  CHECK(EyeSharpness({}, kLimbus) == 0);
  CHECK(EyeSharpness(Textured(), {{2000, 2000}, 150, 140, {}}) == 0);
  CHECK(EyeSharpness(cv::Mat(400, 480, CV_8UC1, cv::Scalar(90)), kLimbus) == 0);
}

}  // namespace afterscope
