// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/eye_texture.hpp"
#include "metrics/phantom/random.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope::phantom {
namespace {

constexpr double kLensHalfMm = 5.2;

// Calls `colour(x_mm, y_mm, row, column)` for every pixel of a new texture.
template <class Colour>
Texture Painted(const Scene& scene, const Colour& colour) {
  const double k = scene.px_per_mm;
  const int size = cvRound(2 * kLensHalfMm * k) + 1;
  Texture texture{cv::Mat(size, size, CV_8UC3), k, kLensHalfMm};
  for (int y = 0; y < size; ++y)
    for (int x = 0; x < size; ++x) {
      const cv::Vec3f c = colour(x / k - kLensHalfMm, y / k - kLensHalfMm, y, x);
      texture.pixels.at<Bgr>(y, x) =
          Bgr(cv::saturate_cast<std::uint8_t>(c[0]), cv::saturate_cast<std::uint8_t>(c[1]),
              cv::saturate_cast<std::uint8_t>(c[2]));
    }
  return texture;
}

cv::Size SizeOf(const Scene& scene) {
  const int size = cvRound(2 * kLensHalfMm * scene.px_per_mm) + 1;
  return {size, size};
}

}  // namespace

Texture ReflexTexture(const Scene& scene) {
  Random random = Random(scene.seed).Fork(61);
  const double towards = random.Between(0, 2 * std::numbers::pi);
  const cv::Mat haze = SmoothNoise(SizeOf(scene), 2.0 * scene.px_per_mm, scene.seed + 130);
  return Painted(scene, [&](double x, double y, int row, int column) {
    // One side brighter, as when the light is not quite along the axis; the rim glows.
    const double side = (x * std::cos(towards) + y * std::sin(towards)) / 4;
    const double rim = std::pow(std::min(std::hypot(x, y) / 3.8, 1.2), 6);
    const auto bright =
        static_cast<float>(0.68 + 0.34 * side + 0.2 * rim + 0.09 * haze.at<float>(row, column));
    return cv::Vec3f(44, 66, 188) * bright + cv::Vec3f(8, 22, 26) * static_cast<float>(rim * 0.8);
  });
}

Texture NucleusTexture(const Scene& scene) {
  Random random = Random(scene.seed).Fork(62);
  const auto hard = static_cast<float>(scene.hardness);
  const cv::Mat broad = SmoothNoise(SizeOf(scene), 2.2 * scene.px_per_mm, scene.seed + 140);
  const cv::Mat fine = SmoothNoise(SizeOf(scene), 0.5 * scene.px_per_mm, scene.seed + 141);
  const double phase = random.Between(0, 6.28);
  return Painted(scene, [&](double x, double y, int row, int column) {
    const double r = std::hypot(x, y);
    const double spokes =
        std::pow(std::max(0.0, std::cos(9 * std::atan2(y, x) + phase + 2 * broad.at<float>(row, column))),
                 6) *
        std::clamp((r - 1.6) / 1.6, 0.0, 1.0);
    const auto core = static_cast<float>(std::exp(-r * r / 5.5));
    cv::Vec3f colour = (1 - hard) * cv::Vec3f(118, 146, 164) + hard * cv::Vec3f(62, 122, 168);
    colour += core * cv::Vec3f(-8, 22, 26) + static_cast<float>(spokes) * cv::Vec3f(40, 34, 26);
    colour += broad.at<float>(row, column) * cv::Vec3f(9, 10, 11) +
              fine.at<float>(row, column) * cv::Vec3f(3, 3, 3);
    return colour;
  });
}

Texture NucleusDensity(const Scene& scene) {
  const cv::Mat broad = SmoothNoise(SizeOf(scene), 2.6 * scene.px_per_mm, scene.seed + 145);
  Texture density{cv::Mat(SizeOf(scene), CV_8U), scene.px_per_mm, kLensHalfMm};
  const double most = 0.6 + 0.36 * scene.hardness;
  for (int y = 0; y < density.pixels.rows; ++y)
    for (int x = 0; x < density.pixels.cols; ++x) {
      const double r = std::hypot(x / density.px_per_mm - kLensHalfMm, y / density.px_per_mm - kLensHalfMm);
      const double fade = 0.62 + 0.38 * std::exp(-std::pow(r / 2.9, 4)) + 0.06 * broad.at<float>(y, x);
      density.pixels.at<std::uint8_t>(y, x) =
          static_cast<std::uint8_t>(255 * std::clamp(most * fade, 0.0, 1.0));
    }
  return density;
}

Texture CortexTexture(const Scene& scene, cv::Mat& density) {
  const cv::Mat shreds = SmoothNoise(SizeOf(scene), 0.55 * scene.px_per_mm, scene.seed + 150);
  const cv::Mat broad = SmoothNoise(SizeOf(scene), 1.8 * scene.px_per_mm, scene.seed + 151);
  density.create(SizeOf(scene), CV_8U);
  return Painted(scene, [&](double x, double y, int row, int column) {
    const double r = std::hypot(x, y);
    const double ring = std::clamp((r - 1.1) / 1.6, 0.0, 1.0);
    const double dense =
        ring * std::clamp(0.45 + 0.3 * shreds.at<float>(row, column) + 0.25 * broad.at<float>(row, column),
                          0.0, 1.0);
    density.at<std::uint8_t>(row, column) = static_cast<std::uint8_t>(255 * dense);
    return cv::Vec3f(158, 178, 196) + shreds.at<float>(row, column) * cv::Vec3f(14, 14, 14);
  });
}

}  // namespace afterscope::phantom
