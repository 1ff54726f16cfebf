// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/covers.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <vector>

namespace afterscope {
namespace {

struct OwnPlanes {
  std::array<std::vector<std::uint8_t>, 3> planes;
};

// A block of pixels [x0, x1) by [y0, y1), edges in pixels with (0, 0) at the corner of the picture.
struct Block {
  double x0, y0, x1, y1;
};

struct Area {
  CoverShape shape;
  double left, top, right, bottom;  // edges, corner based

  explicit Area(const CoverArea& area)
      : shape(area.shape),
        left(std::min(area.corner.x, area.opposite.x) + 0.5),
        top(std::min(area.corner.y, area.opposite.y) + 0.5),
        right(std::max(area.corner.x, area.opposite.x) + 0.5),
        bottom(std::max(area.corner.y, area.opposite.y) + 0.5) {}

  // Whether any part of the block lies in the area.
  bool Touches(const Block& block) const {
    if (shape == CoverShape::kBox)
      return block.x1 > left && block.x0 < right && block.y1 > top && block.y0 < bottom;
    const double cx = (left + right) / 2, cy = (top + bottom) / 2;
    const double rx = std::max((right - left) / 2, 1e-6), ry = std::max((bottom - top) / 2, 1e-6);
    const auto distance = [&](double x, double y) { return std::hypot((x - cx) / rx, (y - cy) / ry); };
    if (shape == CoverShape::kEllipse)
      return distance(std::clamp(cx, block.x0, block.x1), std::clamp(cy, block.y0, block.y1)) < 1;
    const double far_x = cx - block.x0 > block.x1 - cx ? block.x0 : block.x1;
    const double far_y = cy - block.y0 > block.y1 - cy ? block.y0 : block.y1;
    return distance(far_x, far_y) > 1;
  }
};

void Put(std::uint8_t* row, int sample, int bytes, int value) {
  if (bytes == 1) {
    row[sample] = static_cast<std::uint8_t>(value);
    return;
  }
  const auto wide = static_cast<std::uint16_t>(value);
  std::memcpy(row + 2 * static_cast<std::ptrdiff_t>(sample), &wide, 2);
}

}  // namespace

Picture Covered(const Picture& picture, std::span<const CoverArea> areas) {
  std::vector<Area> exact;
  for (const CoverArea& area : areas)
    if (!area.range || area.range->Contains(picture.frame)) exact.emplace_back(area);
  if (exact.empty() || picture.empty()) return picture;
  const auto own = std::make_shared<OwnPlanes>();
  Picture out = picture;
  for (std::size_t p = 0; p < static_cast<std::size_t>(picture.plane_count()); ++p) {
    const PlaneView& plane = picture.planes[p];
    const auto row_bytes =
        static_cast<std::size_t>(plane.width) * static_cast<std::size_t>(picture.bytes_per_sample());
    own->planes[p].resize(row_bytes * static_cast<std::size_t>(plane.height));
    for (int y = 0; y < plane.height; ++y)
      std::memcpy(own->planes[p].data() + row_bytes * static_cast<std::size_t>(y),
                  plane.data + plane.stride * y, row_bytes);
    out.planes[p].data = own->planes[p].data();
    out.planes[p].stride = static_cast<std::ptrdiff_t>(row_bytes);
  }
  const int bytes = picture.bytes_per_sample();
  const int depth_shift = bytes == 1 ? 0 : 2;
  const int black = picture.range == ColorRange::kFull ? 0 : 16 << depth_shift;
  const int step_x = ChromaWidth(picture.format, 2) == 1 ? 2 : 1;
  const int step_y = ChromaHeight(picture.format, 2) == 1 ? 2 : 1;
  const bool gray = picture.plane_count() == 1;
  for (int y = 0; y < picture.height; y += step_y)
    for (int x = 0; x < picture.width; x += step_x) {
      const Block block{static_cast<double>(x), static_cast<double>(y), static_cast<double>(x + step_x),
                        static_cast<double>(y + step_y)};
      if (std::none_of(exact.begin(), exact.end(), [&](const Area& area) { return area.Touches(block); }))
        continue;
      for (int dy = 0; dy < step_y && y + dy < picture.height; ++dy)
        for (int dx = 0; dx < step_x && x + dx < picture.width; ++dx)
          Put(own->planes[0].data() + out.planes[0].stride * (y + dy), x + dx, bytes, black);
      for (std::size_t p = 1; !gray && p < 3; ++p)
        Put(own->planes[p].data() + out.planes[p].stride * (y / step_y), x / step_x, bytes,
            128 << depth_shift);
    }
  out.owner = own;
  return out;
}

}  // namespace afterscope
