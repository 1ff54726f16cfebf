// SPDX-License-Identifier: Apache-2.0
// Expected values are means worked out by hand, or OpenCV's, which takes the mean over areas in floating
// point (INTER_AREA) and enlarges linearly (INTER_LINEAR).
#include "metrics/picture/box_scale.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <vector>

using namespace afterscope;

namespace {

cv::Mat Noise(int width, int height) {
  cv::Mat noise(height, width, CV_8UC1);
  cv::RNG(7).fill(noise, cv::RNG::UNIFORM, 0, 256);
  return noise;
}

cv::Mat Scaled(const cv::Mat& source, int width, int height) {
  cv::Mat into(height, width, CV_8UC1);
  BoxScale(source, {0, double(source.cols) / width}, {0, double(source.rows) / height}, 0, into);
  return into;
}

double MostApart(const cv::Mat& a, const cv::Mat& b) { return cv::norm(a, b, cv::NORM_INF); }

std::vector<int> Row(const cv::Mat& mat) { return {mat.begin<std::uint8_t>(), mat.end<std::uint8_t>()}; }

}  // namespace

TEST_CASE("A plane scaled down is the mean over areas", "[picture]") {
  const cv::Mat noise = Noise(96, 72);
  for (const cv::Size size : {cv::Size(64, 48), cv::Size(48, 36), cv::Size(43, 31), cv::Size(7, 5)}) {
    cv::Mat expected;
    cv::resize(noise, expected, size, 0, 0, cv::INTER_AREA);
    INFO(size);
    CHECK(MostApart(Scaled(noise, size.width, size.height), expected) <= 1);
  }
}

TEST_CASE("A plane scaled up lies linearly between samples", "[picture]") {
  const cv::Mat noise = Noise(32, 24);
  cv::Mat expected;
  cv::resize(noise, expected, {80, 60}, 0, 0, cv::INTER_LINEAR);
  CHECK(MostApart(Scaled(noise, 80, 60), expected) <= 1);
}

TEST_CASE("A plane of the same size is the same, and an even one stays even", "[picture]") {
  const cv::Mat noise = Noise(33, 21);
  CHECK(MostApart(Scaled(noise, 33, 21), noise) == 0);
  for (const int grey : {0, 1, 128, 254, 255})
    for (const int width : {3, 17, 20, 90}) {
      const cv::Mat even(24, 31, CV_8UC1, cv::Scalar(grey)), scaled = Scaled(even, width, 11);
      INFO(grey << " " << width);
      CHECK(MostApart(scaled, cv::Mat(scaled.size(), CV_8UC1, cv::Scalar(grey))) == 0);
    }
}

TEST_CASE("A view between samples and beyond the edges", "[picture]") {
  const cv::Mat row = (cv::Mat_<std::uint8_t>(1, 4) << 40, 80, 120, 160);
  cv::Mat into(1, 4, CV_8UC1);
  BoxScale(row, {0.25, 1}, {0, 1}, 0, into);  // a quarter sample on; the last cell is a quarter outside
  CHECK(Row(into) == std::vector<int>{50, 90, 130, 120});
  BoxScale(row, {-2, 2}, {0, 1}, 16, into);
  CHECK(Row(into) == std::vector<int>{16, 60, 140, 16});
  BoxScale(row, {-3, 2}, {0, 1}, 200, into);  // half of the second cell is the first sample
  CHECK(Row(into) == std::vector<int>{200, 120, 100, 180});
  BoxScale(row, {100, 1}, {0, 1}, 16, into);
  CHECK(Row(into) == std::vector<int>{16, 16, 16, 16});
}

TEST_CASE("A slow zoom passes from shrinking to enlarging unseen", "[picture]") {
  const cv::Mat noise = Noise(64, 48);
  cv::Mat before(24, 32, CV_8UC1), after(24, 32, CV_8UC1);
  BoxScale(noise, {10.3, 1.0005}, {8.7, 1.0005}, 0, before);
  BoxScale(noise, {10.3, 0.9995}, {8.7, 0.9995}, 0, after);
  CHECK(MostApart(before, after) <= 12);  // 0.03 samples at the far edge, of up to 255 a sample
}

TEST_CASE("A plane of one sample", "[picture]") {
  const cv::Mat one(1, 1, CV_8UC1, cv::Scalar(77));
  cv::Mat into(2, 3, CV_8UC1);
  BoxScale(one, {0, 1.0 / 3}, {0, 0.5}, 0, into);
  CHECK(Row(into) == std::vector<int>(6, 77));
}
