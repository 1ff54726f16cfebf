// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/deinterlace.hpp"

#include <algorithm>
#include <cstring>
#include <vector>

namespace afterscope {
namespace {

template <class Sample>
const Sample* Line(const PlaneView& plane, int y) {
  return reinterpret_cast<const Sample*>(plane.data + y * plane.stride);
}

template <class Sample>
void FitLine(const PlaneView& plane, int y, Sample* out) {
  const Sample* own = Line<Sample>(plane, y);
  const Sample* above = Line<Sample>(plane, y > 0 ? y - 1 : std::min(1, plane.height - 1));
  const Sample* below = Line<Sample>(plane, y + 1 < plane.height ? y + 1 : std::max(0, y - 1));
  for (int x = 0; x < plane.width; ++x) {
    const auto [low, high] = std::minmax(above[x], below[x]);
    out[x] = std::clamp(own[x], low, high);  // the median of the three
  }
}

template <class Sample>
void FitPlane(const PlaneView& plane, int kept, std::uint8_t* out) {
  const std::size_t row = static_cast<std::size_t>(plane.width) * sizeof(Sample);
  for (int y = 0; y < plane.height; ++y, out += row) {
    if (y % 2 == kept)
      std::memcpy(out, plane.data + y * plane.stride, row);
    else
      FitLine(plane, y, reinterpret_cast<Sample*>(out));
  }
}

}  // namespace

Picture Deinterlaced(const Picture& picture) {
  if (picture.empty()) return picture;
  const auto bytes = static_cast<std::size_t>(picture.bytes_per_sample());
  std::size_t size = 0;
  for (int i = 0; i < picture.plane_count(); ++i) {
    const PlaneView& plane = picture.planes[static_cast<std::size_t>(i)];
    size += static_cast<std::size_t>(plane.width) * static_cast<std::size_t>(plane.height) * bytes;
  }
  auto memory = std::make_shared<std::vector<std::uint8_t>>(size + bytes);
  Picture out = picture;
  std::uint8_t* next = memory->data();
  const int kept = picture.fields == FieldOrder::kBottomFirst ? 1 : 0;
  for (int i = 0; i < picture.plane_count(); ++i) {
    const PlaneView& from = picture.planes[static_cast<std::size_t>(i)];
    PlaneView& to = out.planes[static_cast<std::size_t>(i)];
    to.data = next;
    to.stride = static_cast<std::ptrdiff_t>(static_cast<std::size_t>(from.width) * bytes);
    if (bytes == 2)
      FitPlane<std::uint16_t>(from, kept, next);
    else
      FitPlane<std::uint8_t>(from, kept, next);
    next += to.stride * to.height;
  }
  out.owner = std::move(memory);
  return out;
}

}  // namespace afterscope
