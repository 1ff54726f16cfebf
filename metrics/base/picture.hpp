// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/rational.hpp"
#include "metrics/base/time.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>

namespace afterscope {

enum class PixelFormat {
  kGray8,      // one plane
  kYuv420,     // planes Y, U, V; U and V half as wide and half as high (odd sizes rounded up)
  kYuv422,     // U and V half as wide
  kYuv444,     // U and V full
  kYuv420P10,  // the same three with 10 bits in the low bits of little-endian 16-bit samples
  kYuv422P10,
  kYuv444P10,
};

enum class ColorMatrix { kBt601, kBt709, kBt2020 };
enum class ColorRange { kLimited, kFull };  // 16-235 luma, 16-240 chroma at 8 bits; or 0-255
enum class FieldOrder { kProgressive, kTopFirst, kBottomFirst };

struct PlaneView {
  const std::uint8_t* data = nullptr;
  std::ptrdiff_t stride = 0;  // bytes from a row to the next
  int width = 0;              // samples
  int height = 0;             // rows
};

// One decoded picture in the file's own format: what crosses all layers. Copies share the pixels, which never
// change after it was made, so pictures may be read from any thread.
struct Picture {
  int width = 0;  // of the decoded picture, before rotation and pixel-aspect correction
  int height = 0;
  PixelFormat format = PixelFormat::kYuv420;
  ColorMatrix matrix = ColorMatrix::kBt709;
  ColorRange range = ColorRange::kLimited;
  FieldOrder fields = FieldOrder::kProgressive;
  Rational pixel_aspect{1, 1};  // width / height of one pixel
  int rotation_deg = 0;         // to be turned clockwise by this for display: 0, 90, 180, 270
  FrameRef frame;               // which frame this is
  TickSpan duration;            // until the next frame
  bool damaged = false;         // the decoder reported errors, or had not recovered
  std::array<PlaneView, 3> planes{};
  std::shared_ptr<const void> owner;  // keeps the planes' memory alive

  bool empty() const { return planes[0].data == nullptr; }
  int plane_count() const { return format == PixelFormat::kGray8 ? 1 : 3; }
  int bytes_per_sample() const { return format >= PixelFormat::kYuv420P10 ? 2 : 1; }
  std::size_t ByteSize() const {
    std::size_t total = 0;
    for (int i = 0; i < plane_count(); ++i)
      total += static_cast<std::size_t>(planes[i].stride) * static_cast<std::size_t>(planes[i].height);
    return total;
  }
};

// Width or height of a chroma plane.
constexpr int ChromaWidth(PixelFormat format, int width) {
  return format == PixelFormat::kYuv444 || format == PixelFormat::kYuv444P10 ? width : (width + 1) / 2;
}
constexpr int ChromaHeight(PixelFormat format, int height) {
  return format == PixelFormat::kYuv420 || format == PixelFormat::kYuv420P10 ? (height + 1) / 2 : height;
}

}  // namespace afterscope
