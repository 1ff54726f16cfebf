// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/eye_ground.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kMostEvery = 0.5;    // seconds between the pictures ...
constexpr double kPictures = 16;      // ... of which a short stretch has so many
constexpr double kReachSeconds = 10;  // seconds to either side
constexpr double kWindow = 5;         // seconds for which one ground holds
constexpr int kMisplaced = 16;        // of a Sobel slope, 8 a gray level and pixel: half a pixel off
constexpr double kFineMm = 0.045, kShadowMm = 0.3;  // what is told apart; a shadow is softer than that
constexpr double kFaintLight = 6;                   // gray levels: what is darker tells little of the light
constexpr int kNoise = 1;                           // gray levels, besides what is measured

cv::Mat MedianOf(const std::vector<const cv::Mat*>& pictures) {
  cv::Mat out = cv::Mat::zeros(pictures.front()->size(), CV_8U);
  std::vector<std::uint8_t> values(pictures.size());
  std::vector<const std::uint8_t*> rows(pictures.size());
  for (int y = 0; y < out.rows; ++y) {
    for (std::size_t k = 0; k < rows.size(); ++k) rows[k] = pictures[k]->ptr(y);
    auto* to = out.ptr(y);
    for (int x = 0; x < out.cols; ++x) {
      std::size_t known = 0;
      for (const std::uint8_t* row : rows)
        if (row[x] > 0) values[known++] = row[x];
      if (known < EyeGround::kLeastPictures) continue;
      const auto middle = values.begin() + static_cast<std::ptrdiff_t>(known / 2);
      std::nth_element(values.begin(), middle, values.begin() + static_cast<std::ptrdiff_t>(known));
      to[x] = *middle;
    }
  }
  return out;
}

// By how much a picture is lighter than its ground, where its surroundings are: the light comes from the
// microscope and does not move with the eye. The median over some millimetres, which an instrument does not
// turn. Logarithms in steps of 1/kOctave of a doubling, about 128.
constexpr double kOctave = 64;
constexpr int kShrunk = 4, kAround = 21;  // pixels of the picture for one; of those

cv::Mat LightOn(const cv::Mat& picture, const cv::Mat& ground) {
  const cv::Size size(std::max(1, picture.cols / kShrunk), std::max(1, picture.rows / kShrunk));
  cv::Mat now, then, light(size, CV_8U), wide;
  cv::resize(picture, now, size, 0, 0, cv::INTER_AREA);
  cv::resize(ground, then, size, 0, 0, cv::INTER_AREA);
  for (int y = 0; y < size.height; ++y)
    for (int x = 0; x < size.width; ++x) {
      const double a = now.at<std::uint8_t>(y, x), b = then.at<std::uint8_t>(y, x);
      const double log = b > 0 ? std::log2((a + kFaintLight) / (b + kFaintLight)) : 0;
      light.at<std::uint8_t>(y, x) = cv::saturate_cast<std::uint8_t>(128 + kOctave * log);
    }
  cv::medianBlur(light, light, kAround);
  light.convertTo(wide, CV_32F);
  cv::GaussianBlur(wide, wide, {}, kAround / 4.0);
  for (int y = 0; y < size.height; ++y)
    for (int x = 0; x < size.width; ++x) {
      auto& value = wide.at<float>(y, x);
      value = std::exp2((value - 128) / static_cast<float>(kOctave));
    }
  cv::resize(wide, wide, picture.size(), 0, 0, cv::INTER_LINEAR);
  return wide;
}

// The median difference, which is that of noise: instruments cover less than half of the picture.
int NoiseOf(const cv::Mat& picture, const cv::Mat& ground, const cv::Mat& light) {
  std::array<std::size_t, 256> count{};
  std::size_t all = 0, below = 0;
  for (int y = 0; y < picture.rows; y += kShrunk)
    for (int x = 0; x < picture.cols; x += kShrunk)
      if (const float g = ground.at<std::uint8_t>(y, x); g > 0)
        ++count[cv::saturate_cast<std::uint8_t>(
            std::abs(static_cast<float>(picture.at<std::uint8_t>(y, x)) - light.at<float>(y, x) * g))],
            ++all;
  for (int i = 0; i < 256; ++i)
    if (2 * (below += count[static_cast<std::size_t>(i)]) >= all) return i;
  return 0;
}

}  // namespace

EyeGround::EyeGround(std::vector<double> seconds) : seconds_(std::move(seconds)) {}

std::vector<std::size_t> EyeGround::Frames() const {
  std::vector<std::size_t> out;
  if (seconds_.empty()) return out;
  const double every = std::min(kMostEvery, (seconds_.back() - seconds_.front()) / kPictures);
  for (std::size_t i = 0; i < seconds_.size(); ++i)
    if (out.empty() || seconds_[i] - seconds_[out.back()] >= every) out.push_back(i);
  return out;
}

void EyeGround::Add(std::size_t index, cv::Mat in_eye) {
  if (index < seconds_.size() && !in_eye.empty()) pictures_[index] = std::move(in_eye);
}

long EyeGround::WindowOf(std::size_t index) const {
  return std::lround((seconds_[index] - seconds_.front()) / kWindow);
}

void EyeGround::Finish() {
  if (pictures_.empty()) return;
  grounds_.clear();
  const long last = seconds_.empty() ? -1 : WindowOf(seconds_.size() - 1);
  for (long window = 0; window <= last; ++window) {
    const double middle = seconds_.front() + kWindow * static_cast<double>(window);
    std::vector<const cv::Mat*> near;
    for (const auto& [index, picture] : pictures_)
      if (std::abs(seconds_[index] - middle) <= kReachSeconds) near.push_back(&picture);
    if (near.size() >= kLeastPictures) grounds_[window] = MedianOf(near);
  }
  pictures_.clear();
}

cv::Mat EyeGround::At(std::size_t index) const {
  if (index >= seconds_.size()) return {};
  const auto ground = grounds_.find(WindowOf(index));
  return ground == grounds_.end() ? cv::Mat() : ground->second;
}

cv::Mat AgainstGround(const cv::Mat& picture, const cv::Mat& ground) {
  const cv::Mat light = LightOn(picture, ground);
  const int noise = kNoise + NoiseOf(picture, ground, light);
  cv::Mat smooth, across, down;
  cv::GaussianBlur(ground, smooth, {3, 3}, 0);
  cv::Sobel(smooth, across, CV_16S, 1, 0, 3);
  cv::Sobel(smooth, down, CV_16S, 0, 1, 3);
  cv::Mat lit, expected, out(picture.size(), CV_8U);
  cv::multiply(light, ground, lit, 1, CV_32F);
  lit.convertTo(expected, CV_16S);
  const int width = out.cols;
  for (int y = 0; y < out.rows; ++y) {
    const auto* e = expected.ptr<std::int16_t>(y);
    const auto *p = picture.ptr(y), *g = ground.ptr(y);
    const auto *dx = across.ptr<std::int16_t>(y), *dy = down.ptr<std::int16_t>(y);
    auto* to = out.ptr(y);
    for (int x = 0; x < width; ++x) {
      const int slope = std::max(std::abs(dx[x]), std::abs(dy[x]));
      const int explained = noise + slope / kMisplaced;
      const int differs = g[x] > 0 ? p[x] - e[x] : 0;
      const int left = differs > 0 ? std::max(0, differs - explained) : std::min(0, differs + explained);
      to[x] = static_cast<std::uint8_t>(std::clamp(128 + left, 0, 255));
    }
  }
  return out;
}

cv::Mat SharpDifference(const cv::Mat& against_ground, double px_per_mm) {
  cv::Mat fine, wide, out;
  cv::GaussianBlur(against_ground, fine, {}, std::max(0.3, kFineMm * px_per_mm));
  const int side = 2 * std::max(1, cvRound(kShadowMm * px_per_mm)) + 1;
  cv::boxFilter(against_ground, wide, -1, {side, side});
  cv::absdiff(fine, wide, out);
  cv::GaussianBlur(out, out, {}, std::max(0.3, kFineMm * px_per_mm));
  return out;
}

}  // namespace afterscope
