// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/shrink.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cstring>

namespace afterscope {
namespace {

template <class Sample>
std::uint32_t SumOfRow(const PlaneView& plane, int row, int from, int to) {
  const auto* samples = reinterpret_cast<const Sample*>(plane.data + row * plane.stride);
  std::uint32_t sum = 0;
  for (int x = from; x < to; ++x) sum += samples[x];
  return sum;
}

template <class Sample>
void ShrinkPlane(const PlaneView& from, int factor, const PlaneView& to, std::uint8_t* out) {
  std::vector<std::uint64_t> sums(static_cast<std::size_t>(to.width));
  for (int y = 0; y < to.height; ++y) {
    std::fill(sums.begin(), sums.end(), 0);
    const int top = y * factor;
    const int bottom = std::min(from.height, top + factor);
    const auto end = [&](int x) { return std::min(from.width, (x + 1) * factor); };
    for (int row = top; row < bottom; ++row)
      for (int x = 0; x < to.width; ++x)
        sums[static_cast<std::size_t>(x)] += SumOfRow<Sample>(from, row, x * factor, end(x));
    auto* samples = reinterpret_cast<Sample*>(out + y * to.stride);
    for (int x = 0; x < to.width; ++x) {
      const auto count =
          static_cast<std::uint64_t>(bottom - top) * static_cast<std::uint64_t>(end(x) - x * factor);
      samples[x] = static_cast<Sample>((sums[static_cast<std::size_t>(x)] + count / 2) / count);
    }
  }
}

// Rounded up by the factor, then to whole chroma samples.
int Shrunk(int size, int factor, bool halved) {
  const int rounded = (size + factor - 1) / factor;
  return halved && factor > 1 && rounded > 1 ? rounded / 2 * 2 : rounded;
}

}  // namespace

Picture ShrinkPicture(const Picture& picture, int most_width) {
  if (picture.empty() || most_width < 1) return {};
  const int factor = (picture.width + most_width - 1) / most_width;
  Picture small = picture;
  const bool coloured = picture.plane_count() > 1;
  small.width = Shrunk(picture.width, factor, coloured && ChromaWidth(picture.format, 2) == 1);
  small.height = Shrunk(picture.height, factor, coloured && ChromaHeight(picture.format, 2) == 1);
  std::array<std::size_t, 3> offsets{};
  std::size_t total = 0;
  for (int i = 0; i < picture.plane_count(); ++i) {
    PlaneView& plane = small.planes[static_cast<std::size_t>(i)];
    plane.width = i == 0 ? small.width : ChromaWidth(small.format, small.width);
    plane.height = i == 0 ? small.height : ChromaHeight(small.format, small.height);
    plane.stride = std::ptrdiff_t{plane.width} * picture.bytes_per_sample();
    offsets[static_cast<std::size_t>(i)] = total;
    total += static_cast<std::size_t>(plane.stride) * static_cast<std::size_t>(plane.height);
  }
  const auto pixels = std::make_shared<std::vector<std::uint8_t>>(total);
  for (std::size_t i = 0; i < static_cast<std::size_t>(picture.plane_count()); ++i) {
    std::uint8_t* out = pixels->data() + offsets[i];
    const auto shrink =
        picture.bytes_per_sample() == 2 ? ShrinkPlane<std::uint16_t> : ShrinkPlane<std::uint8_t>;
    shrink(picture.planes[i], factor, small.planes[i], out);
    small.planes[i].data = out;
  }
  small.owner = pixels;
  return small;
}

PlaneView HalvePlane(const PlaneView& plane, int bytes_per_sample, std::vector<std::uint8_t>& memory) {
  if (plane.data == nullptr || plane.width < 1 || plane.height < 1) return {};
  const int type = bytes_per_sample == 2 ? CV_16UC1 : CV_8UC1;
  const int width = (plane.width + 1) / 2;
  const int height = (plane.height + 1) / 2;
  memory.resize(static_cast<std::size_t>(width) * static_cast<std::size_t>(height * bytes_per_sample));
  // OpenCV has no view of constant samples; these are only read.
  const cv::Mat from(plane.height, plane.width, type, const_cast<std::uint8_t*>(plane.data),
                     static_cast<std::size_t>(plane.stride));
  cv::Mat to(height, width, type, memory.data());
  cv::resize(from, to, to.size(), 0, 0, cv::INTER_AREA);
  return {memory.data(), std::ptrdiff_t{width} * bytes_per_sample, width, height};
}

}  // namespace afterscope
