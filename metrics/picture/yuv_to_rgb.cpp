// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/yuv_to_rgb.hpp"

#include "metrics/picture/plane_samples.hpp"
#include "metrics/picture/shown_picture.hpp"

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {

LumaWeights LumaWeightsOf(ColorMatrix matrix) {
  switch (matrix) {
    case ColorMatrix::kBt601:
      return {0.299, 0.114};
    case ColorMatrix::kBt2020:
      return {0.2627, 0.0593};
    case ColorMatrix::kBt709:
      break;
  }
  return {0.2126, 0.0722};
}

namespace {

// Makes an image whose pixel (x, y) shows luma sample (x, y) * step.
RgbImage Convert(const Picture& picture, int step) {
  RgbImage image{(picture.width + step - 1) / step, (picture.height + step - 1) / step, {}};
  image.pixels.resize(static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height) * 3);
  const YuvToRgb map = YuvToRgbFor(picture);
  const PixelSamples samples(picture);
  std::uint8_t* out = image.pixels.data();
  for (int row = 0; row < image.height; ++row)
    for (int column = 0; column < image.width; ++column, out += 3)
      StoreRgb(map.Apply(samples.At(column * step, row * step)), out);
  return image;
}

cv::Mat View(RgbImage& image) { return {image.height, image.width, CV_8UC3, image.pixels.data()}; }

RgbImage Resized(RgbImage image, int width, int height) {
  if (width == image.width && height == image.height) return image;
  RgbImage out{
      width, height,
      std::vector<std::uint8_t>(static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * 3)};
  cv::Mat target = View(out);
  const bool shrinks = width <= image.width && height <= image.height;
  cv::resize(View(image), target, target.size(), 0, 0, shrinks ? cv::INTER_AREA : cv::INTER_LINEAR);
  return out;
}

RgbImage Turned(RgbImage image, int rotation_deg) {
  if (rotation_deg == 0) return image;
  const bool swaps = rotation_deg % 180 != 0;
  RgbImage out{swaps ? image.height : image.width, swaps ? image.width : image.height,
               std::vector<std::uint8_t>(image.pixels.size())};
  cv::Mat target = View(out);
  cv::rotate(View(image), target,
             rotation_deg == 90    ? cv::ROTATE_90_CLOCKWISE
             : rotation_deg == 180 ? cv::ROTATE_180
                                   : cv::ROTATE_90_COUNTERCLOCKWISE);
  return out;
}

int AtLeastOne(double size) { return std::max(1, static_cast<int>(std::lround(size))); }

}  // namespace

YuvToRgb YuvToRgbFor(ColorMatrix matrix, ColorRange range, int bits) {
  const auto [kr, kb] = LumaWeightsOf(matrix);
  const double kg = 1 - kr - kb;
  const double storage = bits > 8 ? 65535.0 : 255.0;
  const double unit = std::ldexp(1.0, bits - 8);  // one step of 8 bits
  const double largest = std::ldexp(1.0, bits) - 1;
  const bool limited = range == ColorRange::kLimited;
  const double black = limited ? 16 * unit : 0;
  const double luma_scale = storage / (limited ? 219 * unit : largest);
  const double chroma_scale = storage / (limited ? 224 * unit : largest);  // to -0.5 .. 0.5
  const double middle = 128 * unit;

  const double red_v = 2 * (1 - kr) * chroma_scale;
  const double blue_u = 2 * (1 - kb) * chroma_scale;
  const double green_u = -2 * kb * (1 - kb) / kg * chroma_scale;
  const double green_v = -2 * kr * (1 - kr) / kg * chroma_scale;
  const double dark = -black / storage * luma_scale;
  const double mid = middle / storage;
  const auto f = [](double value) { return static_cast<float>(value); };
  return {{f(luma_scale), 0, f(red_v), f(luma_scale), f(green_u), f(green_v), f(luma_scale), f(blue_u), 0},
          {f(dark - red_v * mid), f(dark - (green_u + green_v) * mid), f(dark - blue_u * mid)}};
}

YuvToRgb YuvToRgbFor(const Picture& picture) {
  YuvToRgb map = YuvToRgbFor(picture.matrix, picture.range, picture.bytes_per_sample() == 2 ? 10 : 8);
  if (picture.plane_count() > 1) return map;
  const float dark = picture.range == ColorRange::kLimited ? -16.0F / 219.0F : 0.0F;
  return {{map.matrix[0], 0, 0, map.matrix[0], 0, 0, map.matrix[0], 0, 0}, {dark, dark, dark}};
}

ChromaSite ChromaSiteOf(PixelFormat format) {
  switch (format) {
    case PixelFormat::kYuv420:
    case PixelFormat::kYuv420P10:
      return {2, 2, 0, 0.5};
    case PixelFormat::kYuv422:
    case PixelFormat::kYuv422P10:
      return {2, 1, 0, 0};
    default:
      return {};
  }
}

std::array<float, 3> YuvToRgb::Apply(const std::array<float, 3>& yuv) const {
  std::array<float, 3> rgb{};
  for (std::size_t c = 0; c < 3; ++c)
    rgb[c] = matrix[3 * c] * yuv[0] + matrix[3 * c + 1] * yuv[1] + matrix[3 * c + 2] * yuv[2] + offset[c];
  return rgb;
}

void StoreRgb(const std::array<float, 3>& rgb, std::uint8_t* out) {
  for (std::size_t c = 0; c < 3; ++c)
    out[c] = static_cast<std::uint8_t>(std::lround(std::clamp(rgb[c], 0.0F, 1.0F) * 255.0F));
}

RgbImage ToRgb(const Picture& picture) { return picture.empty() ? RgbImage{} : Convert(picture, 1); }

RgbImage ToShownRgb(const Picture& picture) {
  if (picture.empty()) return {};
  const ShownPicture shown = ShownPicture::Of(picture);
  return Turned(Resized(ToRgb(picture), AtLeastOne(picture.width * shown.aspect), picture.height),
                shown.rotation_deg);
}

RgbImage ToSmallRgb(const Picture& picture, int most_width, int most_height) {
  if (picture.empty() || most_width < 1 || most_height < 1) return {};
  const ShownPicture shown = ShownPicture::Of(picture);
  const double scale = std::min({1.0, most_width / shown.Width(), most_height / shown.Height()});
  const bool swaps = shown.rotation_deg % 180 != 0;
  const int width = AtLeastOne((swaps ? shown.Height() : shown.Width()) * scale);
  const int height = AtLeastOne((swaps ? shown.Width() : shown.Height()) * scale);
  // Every step-th sample is enough for the average that follows, and far quicker.
  const int step = std::max(1, std::min(picture.width / (3 * width), picture.height / (3 * height)));
  return Turned(Resized(Convert(picture, step), width, height), shown.rotation_deg);
}

}  // namespace afterscope
