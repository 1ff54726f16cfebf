// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/yuv_frame.hpp"

#include "metrics/picture/box_scale.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace afterscope {
namespace {

// A plane in 8 bits; shares the picture's memory where it can.
cv::Mat EightBit(const Picture& picture, std::size_t plane) {
  const PlaneView& view = picture.planes[plane];
  const int type = picture.bytes_per_sample() == 2 ? CV_16UC1 : CV_8UC1;
  cv::Mat stored(view.height, view.width, type, const_cast<std::uint8_t*>(view.data),
                 static_cast<std::size_t>(view.stride));
  if (type == CV_8UC1) return stored;
  cv::Mat narrow;
  stored.convertTo(narrow, CV_8UC1, 0.25);
  return narrow;
}

// Full range to limited: luma 0-255 to 16-235, chroma 128 +- 127.5 to 128 +- 112.
void ToLimited(cv::Mat& plane, bool luma) {
  const double scale = luma ? 219.0 / 255 : 224.0 / 255;
  const double shift = luma ? 16 : 128 - 128 * scale;
  cv::Mat limited;
  plane.convertTo(limited, CV_8UC1, scale, shift);
  plane = limited;
}

// An affine map between sample positions, (0, 0) at the centre of the first sample.
using Affine = cv::Matx23d;

Affine FromThree(const std::array<cv::Point2d, 3>& of_unit) {  // images of (0, 0), (1, 0), (0, 1)
  return {of_unit[1].x - of_unit[0].x, of_unit[2].x - of_unit[0].x, of_unit[0].x,
          of_unit[1].y - of_unit[0].y, of_unit[2].y - of_unit[0].y, of_unit[0].y};
}

// Source luma sample of a frame's luma sample.
Affine SourceFromFrame(const ShownPicture& shown, const SeenPart& part, int width, int height) {
  const auto source = [&](double x, double y) {
    const PointPx px =
        shown.PxAt({part.x + (x + 0.5) * part.width / width, part.y + (y + 0.5) * part.height / height});
    return cv::Point2d(px.x, px.y);
  };
  return FromThree({source(0, 0), source(1, 0), source(0, 1)});
}

// The same between chroma samples, which lie at first + step * index of the luma samples.
Affine ChromaFromLuma(const Affine& luma, const ChromaSite& source, const ChromaSite& frame) {
  const auto at = [&](double i, double j) {
    const double x = frame.first_x + frame.step_x * i, y = frame.first_y + frame.step_y * j;
    const double sx = luma(0, 0) * x + luma(0, 1) * y + luma(0, 2);
    const double sy = luma(1, 0) * x + luma(1, 1) * y + luma(1, 2);
    return cv::Point2d((sx - source.first_x) / source.step_x, (sy - source.first_y) / source.step_y);
  };
  return FromThree({at(0, 0), at(1, 0), at(0, 1)});
}

// A picture is turned by quarters only: what is left after turning the plane is scale and shift.
void Place(cv::Mat plane, Affine map, int beyond, cv::Mat& into) {
  if (map(0, 0) == 0 && map(1, 1) == 0) {
    plane = plane.t();
    map = {map(1, 0), map(1, 1), map(1, 2), map(0, 0), map(0, 1), map(0, 2)};
  }
  const bool left_right = map(0, 0) < 0, upside_down = map(1, 1) < 0;
  if (left_right || upside_down) {
    cv::Mat turned;
    cv::flip(plane, turned, left_right && upside_down ? -1 : left_right ? 1 : 0);
    plane = turned;
  }
  const auto cells = [](double step, double centre, int count) {
    if (step < 0) centre = count - 1 - centre;
    return SampleCells{centre + 0.5 - std::abs(step) / 2, std::abs(step)};
  };
  BoxScale(plane, cells(map(0, 0), map(0, 2), plane.cols), cells(map(1, 1), map(1, 2), plane.rows),
           static_cast<std::uint8_t>(beyond), into);
}

std::uint8_t Byte(double value) {
  return static_cast<std::uint8_t>(std::clamp(std::lround(value), 0L, 255L));
}

// From one matrix to another at equal range: luma changes by the colour differences alone, since grey stays
// grey.
void ChangeMatrix(ColorMatrix from, YuvFrame& frame) {
  const LumaWeights a = LumaWeightsOf(from), b = LumaWeightsOf(frame.matrix);
  const double kga = 1 - a.kr - a.kb, kgb = 1 - b.kr - b.kb;
  // R - Y = 2 (1 - Kr) V, B - Y = 2 (1 - Kb) U, G - Y = -(Kr (R - Y) + Kb (B - Y)) / Kg, all in units of 1.
  const double r = 2 * (1 - a.kr), blue = 2 * (1 - a.kb);
  const double y_from_u = b.kb * blue - kgb * a.kb * blue / kga;
  const double y_from_v = b.kr * r - kgb * a.kr * r / kga;
  const double u_scale = 1 / (2 * (1 - b.kb)), v_scale = 1 / (2 * (1 - b.kr));
  const auto width = static_cast<std::size_t>(frame.width), height = static_cast<std::size_t>(frame.height);
  for (std::size_t j = 0; j < height / 2; ++j)
    for (std::size_t i = 0; i < width / 2; ++i) {
      const std::size_t c = j * (width / 2) + i;
      const double u = (frame.u[c] - 128) / 224.0, v = (frame.v[c] - 128) / 224.0;
      const double luma = y_from_u * u + y_from_v * v;
      for (std::size_t dy = 0; dy < 2; ++dy)
        for (std::size_t dx = 0; dx < 2; ++dx) {
          auto& sample = frame.y[(2 * j + dy) * width + 2 * i + dx];
          sample = Byte(sample + 219 * luma);
        }
      frame.u[c] = Byte(128 + 224 * (blue * u - luma) * u_scale);
      frame.v[c] = Byte(128 + 224 * (r * v - luma) * v_scale);
    }
}

}  // namespace

YuvFrame::YuvFrame(int w, int h, ColorMatrix m) : width(w), height(h), matrix(m) {
  const auto luma = static_cast<std::size_t>(w) * static_cast<std::size_t>(h);
  y.assign(luma, 16);
  u.assign(luma / 4, 128);
  v.assign(luma / 4, 128);
}

Picture AsPicture(std::shared_ptr<const YuvFrame> frame, FrameRef at) {
  Picture picture;
  picture.width = frame->width;
  picture.height = frame->height;
  picture.matrix = frame->matrix;
  picture.frame = at;
  picture.planes[0] = {frame->y.data(), frame->width, frame->width, frame->height};
  picture.planes[1] = {frame->u.data(), frame->width / 2, frame->width / 2, frame->height / 2};
  picture.planes[2] = {frame->v.data(), frame->width / 2, frame->width / 2, frame->height / 2};
  picture.owner = std::move(frame);
  return picture;
}

SeenPart WholeWithin(const ShownPicture& shown, int frame_width, int frame_height) {
  const double scale = std::max(shown.Width() / frame_width, shown.Height() / frame_height);
  const double width = frame_width * scale, height = frame_height * scale;
  return {(shown.Width() - width) / 2, (shown.Height() - height) / 2, width, height};
}

void DrawPicture(const Picture& picture, const SeenPart& part, YuvFrame& frame) {
  const Affine luma = SourceFromFrame(ShownPicture::Of(picture), part, frame.width, frame.height);
  const bool full = picture.range == ColorRange::kFull;
  cv::Mat y(frame.height, frame.width, CV_8UC1, frame.y.data());
  cv::Mat source = EightBit(picture, 0);
  if (full) ToLimited(source, true);
  Place(source, luma, 16, y);
  if (picture.plane_count() == 1) {
    std::fill(frame.u.begin(), frame.u.end(), std::uint8_t{128});
    std::fill(frame.v.begin(), frame.v.end(), std::uint8_t{128});
    return;
  }
  const Affine chroma =
      ChromaFromLuma(luma, ChromaSiteOf(picture.format), ChromaSiteOf(PixelFormat::kYuv420));
  for (const std::size_t plane : {std::size_t{1}, std::size_t{2}}) {
    cv::Mat into(frame.height / 2, frame.width / 2, CV_8UC1, (plane == 1 ? frame.u : frame.v).data());
    source = EightBit(picture, plane);
    if (full) ToLimited(source, false);
    Place(source, chroma, 128, into);
  }
  if (picture.matrix != frame.matrix) ChangeMatrix(picture.matrix, frame);
}

void BlendOver(const std::vector<std::uint32_t>& layer, YuvFrame& frame) {
  const LumaWeights k = LumaWeightsOf(frame.matrix);
  const auto width = static_cast<std::size_t>(frame.width), height = static_cast<std::size_t>(frame.height);
  for (std::size_t j = 0; j < height; j += 2) {
    const std::uint32_t* const upper = layer.data() + j * width;
    const std::uint32_t* const lower = upper + width;
    for (std::size_t i = 0; i < width; i += 2) {
      if ((upper[i] | upper[i + 1] | lower[i] | lower[i + 1]) == 0) continue;  // nearly everywhere
      double alpha_sum = 0, red = 0, green = 0, blue = 0;
      for (std::size_t dy = 0; dy < 2; ++dy)
        for (std::size_t dx = 0; dx < 2; ++dx) {
          const std::size_t at = (j + dy) * width + i + dx;
          const std::uint32_t argb = layer[at];
          if (argb >> 24 == 0) continue;
          const double alpha = (argb >> 24) / 255.0;
          const double r = (argb >> 16 & 255) / 255.0, g = (argb >> 8 & 255) / 255.0,
                       b = (argb & 255) / 255.0;
          const double luma = k.kr * r + (1 - k.kr - k.kb) * g + k.kb * b;
          frame.y[at] = Byte(frame.y[at] * (1 - alpha) + 16 * alpha + 219 * luma);
          alpha_sum += alpha;
          red += r;
          green += g;
          blue += b;
        }
      if (alpha_sum == 0) continue;
      const double alpha = alpha_sum / 4, luma = (k.kr * red + (1 - k.kr - k.kb) * green + k.kb * blue) / 4;
      const std::size_t c = j / 2 * (width / 2) + i / 2;
      frame.u[c] = Byte(frame.u[c] * (1 - alpha) + 128 * alpha + 224 * (blue / 4 - luma) / (2 * (1 - k.kb)));
      frame.v[c] = Byte(frame.v[c] * (1 - alpha) + 128 * alpha + 224 * (red / 4 - luma) / (2 * (1 - k.kr)));
    }
  }
}

void Fade(double brightness, YuvFrame& frame) {
  const auto towards = [&](std::vector<std::uint8_t>& plane, int black) {
    std::array<std::uint8_t, 256> table{};
    for (int i = 0; i < 256; ++i) table[static_cast<std::size_t>(i)] = Byte(black + (i - black) * brightness);
    for (std::uint8_t& sample : plane) sample = table[sample];
  };
  towards(frame.y, 16);
  towards(frame.u, 128);
  towards(frame.v, 128);
}

}  // namespace afterscope
