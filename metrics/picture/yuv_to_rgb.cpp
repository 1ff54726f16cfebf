// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/yuv_to_rgb.hpp"

#include "metrics/picture/shown_picture.hpp"

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

struct Weights {
  double red, blue;
};

Weights WeightsOf(ColorMatrix matrix) {
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

// A plane whose samples are read one by one, repeated beyond its edges.
struct Samples {
  const PlaneView& plane;
  bool wide;  // 16 bits a sample

  float At(int x, int y) const {
    const int column = std::clamp(x, 0, plane.width - 1);
    const std::uint8_t* row = plane.data + std::clamp(y, 0, plane.height - 1) * plane.stride;
    if (!wide) return static_cast<float>(row[column]) / 255.0F;
    const int value = row[2 * column] | (row[2 * column + 1] << 8);
    return static_cast<float>(value) / 65535.0F;
  }

  float Between(double x, double y) const {
    const int left = static_cast<int>(std::floor(x));
    const int top = static_cast<int>(std::floor(y));
    const auto fx = static_cast<float>(x - left);
    const auto fy = static_cast<float>(y - top);
    const float upper = At(left, top) * (1 - fx) + At(left + 1, top) * fx;
    if (fy == 0) return upper;
    const float lower = At(left, top + 1) * (1 - fx) + At(left + 1, top + 1) * fx;
    return upper * (1 - fy) + lower * fy;
  }
};

void StoreRgb(const YuvToRgb& map, float y, float u, float v, std::uint8_t* out) {
  for (std::size_t c = 0; c < 3; ++c) {
    const float value =
        map.matrix[3 * c] * y + map.matrix[3 * c + 1] * u + map.matrix[3 * c + 2] * v + map.offset[c];
    out[c] = static_cast<std::uint8_t>(std::lround(std::clamp(value, 0.0F, 1.0F) * 255.0F));
  }
}

// Makes an image whose pixel (x, y) shows luma sample (x, y) * step.
RgbImage Convert(const Picture& picture, int step) {
  RgbImage image{(picture.width + step - 1) / step, (picture.height + step - 1) / step, {}};
  image.pixels.resize(static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height) * 3);
  const YuvToRgb map = YuvToRgbFor(picture);
  const ChromaSite site = ChromaSiteOf(picture.format);
  const bool wide = picture.bytes_per_sample() == 2;
  const bool gray = picture.plane_count() == 1;
  const Samples luma{picture.planes[0], wide};
  const Samples cb{picture.planes[gray ? 0 : 1], wide};
  const Samples cr{picture.planes[gray ? 0 : 2], wide};
  std::uint8_t* out = image.pixels.data();
  for (int row = 0; row < image.height; ++row) {
    const int y = row * step;
    const double chroma_y = (y - site.first_y) / site.step_y;
    for (int column = 0; column < image.width; ++column, out += 3) {
      const int x = column * step;
      const double chroma_x = (x - site.first_x) / site.step_x;
      StoreRgb(map, luma.At(x, y), gray ? 0 : cb.Between(chroma_x, chroma_y),
               gray ? 0 : cr.Between(chroma_x, chroma_y), out);
    }
  }
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
  const auto [kr, kb] = WeightsOf(matrix);
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
