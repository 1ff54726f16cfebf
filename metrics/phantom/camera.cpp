// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/camera.hpp"

#include "metrics/phantom/random.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <memory>

namespace afterscope::phantom {
namespace {

// Limited-range coefficients times 256 (ITU-R BT.601 and BT.709), chroma sums exactly 0.
struct Coefficients {
  int y_red, y_green, y_blue;
  int u_red, u_green;   // and 112 blue
  int v_green, v_blue;  // and 112 red
};
constexpr Coefficients kBt601{66, 129, 25, -38, -74, -94, -18};
constexpr Coefficients kBt709{47, 157, 16, -26, -86, -102, -10};

struct Planes {
  std::vector<std::uint8_t> bytes;
};

Picture EmptyPicture(const Scene& scene, int width, int height) {
  Picture picture;
  picture.width = width;
  picture.height = height;
  picture.format = PixelFormat::kYuv420;
  picture.matrix = scene.matrix;
  picture.range = ColorRange::kLimited;
  picture.pixel_aspect = scene.pixel_aspect;
  picture.fields = scene.interlaced ? FieldOrder::kTopFirst : FieldOrder::kProgressive;
  const int chroma_width = (width + 1) / 2;
  const int chroma_height = (height + 1) / 2;
  const auto luma = static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
  const auto chroma = static_cast<std::size_t>(chroma_width) * static_cast<std::size_t>(chroma_height);
  auto planes = std::make_shared<Planes>();
  planes->bytes.resize(luma + 2 * chroma);
  const std::uint8_t* data = planes->bytes.data();
  picture.planes[0] = {data, width, width, height};
  picture.planes[1] = {data + luma, chroma_width, chroma_width, chroma_height};
  picture.planes[2] = {data + luma + chroma, chroma_width, chroma_width, chroma_height};
  picture.owner = planes;
  return picture;
}

std::uint8_t* Writable(const PlaneView& plane, int y) {
  return const_cast<std::uint8_t*>(plane.data) + y * plane.stride;
}

void LumaRow(const Coefficients& c, const std::uint8_t* b, const std::uint8_t* g, const std::uint8_t* r,
             const std::int8_t* noise, int width, std::uint8_t* out) {
  const auto yr = static_cast<std::uint16_t>(c.y_red);
  const auto yg = static_cast<std::uint16_t>(c.y_green);
  const auto yb = static_cast<std::uint16_t>(c.y_blue);
  for (int x = 0; x < width; ++x) {
    const auto sum = static_cast<std::uint16_t>(yr * r[x] + yg * g[x] + yb * b[x] + 128);
    const auto value = static_cast<std::int16_t>(static_cast<std::int16_t>(sum >> 8) + 16 + noise[x]);
    out[x] = static_cast<std::uint8_t>(std::clamp<std::int16_t>(value, 1, 254));
  }
}

void ChromaRow(const Coefficients& c, const std::uint8_t* b, const std::uint8_t* g, const std::uint8_t* r,
               int width, std::uint8_t* u, std::uint8_t* v) {
  for (int x = 0; x < width; ++x) {
    u[x] = static_cast<std::uint8_t>(((c.u_red * r[x] + c.u_green * g[x] + 112 * b[x] + 128) >> 8) + 128);
    v[x] = static_cast<std::uint8_t>(((112 * r[x] + c.v_green * g[x] + c.v_blue * b[x] + 128) >> 8) + 128);
  }
}

}  // namespace

cv::Mat LightMap(const Scene& scene, cv::Size size) {
  Random random = Random(scene.seed).Fork(81);
  const double cx = 0.5 * size.width + random.Between(-1.5, 1.5) * scene.px_per_mm;
  const double cy = 0.5 * size.height + random.Between(-1.0, 1.0) * scene.px_per_mm;
  const double bright = random.Between(6.4, 8.2) * scene.px_per_mm;
  cv::Mat map(size, CV_8U);
  for (int y = 0; y < size.height; ++y)
    for (int x = 0; x < size.width; ++x) {
      const double out =
          std::clamp((std::hypot(x - cx, y - cy) - bright) / (7.5 * scene.px_per_mm), 0.0, 1.0);
      map.at<std::uint8_t>(y, x) = static_cast<std::uint8_t>(255 * (1 - 0.88 * out * out * (3 - 2 * out)));
    }
  return map;
}

Noise::Noise(const Scene& scene, int samples) : slack_(65536) {
  Random random = Random(scene.seed).Fork(91);
  values_.resize(static_cast<std::size_t>(samples) + slack_);
  double before = 0;
  for (std::int8_t& value : values_) {
    // A little alike from one pixel to the next, as after a recorder's own filter.
    before = 0.5 * before + std::sqrt(0.75) * random.Normal();
    value = static_cast<std::int8_t>(std::clamp(scene.disturbance.noise_sd * before, -60.0, 60.0) +
                                     (before > 0 ? 0.5 : -0.5));
  }
}

const std::int8_t* Noise::At(double seconds) const {
  const auto tick = static_cast<std::uint64_t>(std::llround(seconds * 1e4));
  return values_.data() + Random(tick).Next() % slack_;
}

Picture DevelopPicture(const Scene& scene, const cv::Mat& bgr, const std::int8_t* noise) {
  const Coefficients& c = scene.matrix == ColorMatrix::kBt601 ? kBt601 : kBt709;
  Picture picture = EmptyPicture(scene, bgr.cols, bgr.rows);
  cv::Mat channels[3];
  cv::split(bgr, channels);
  for (int y = 0; y < bgr.rows; ++y)
    LumaRow(c, channels[0].ptr(y), channels[1].ptr(y), channels[2].ptr(y),
            noise + static_cast<std::ptrdiff_t>(y) * bgr.cols, bgr.cols, Writable(picture.planes[0], y));
  cv::Mat half;
  cv::resize(bgr, half, {picture.planes[1].width, picture.planes[1].height}, 0, 0, cv::INTER_AREA);
  cv::split(half, channels);
  for (int y = 0; y < half.rows; ++y)
    ChromaRow(c, channels[0].ptr(y), channels[1].ptr(y), channels[2].ptr(y), half.cols,
              Writable(picture.planes[1], y), Writable(picture.planes[2], y));
  return picture;
}

Picture Woven(const Picture& top, const Picture& bottom) {
  Picture woven = top;
  auto planes = std::make_shared<Planes>();
  planes->bytes.resize(top.ByteSize());
  std::size_t at = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    const PlaneView& from = top.planes[i];
    woven.planes[i] = {planes->bytes.data() + at, from.width, from.width, from.height};
    for (int y = 0; y < from.height; ++y) {
      const PlaneView& field = y % 2 == 0 ? top.planes[i] : bottom.planes[i];
      std::memcpy(Writable(woven.planes[i], y), field.data + y * field.stride,
                  static_cast<std::size_t>(from.width));
    }
    at += static_cast<std::size_t>(from.width) * static_cast<std::size_t>(from.height);
  }
  woven.owner = planes;
  return woven;
}

}  // namespace afterscope::phantom
