// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/magnifier.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr double kNearer = 3;
constexpr double kNearest = 16;

}  // namespace

Magnified MagnifiedAt(const ScreenFromShown& placed, float x, float y, float side,
                      const ScreenRect& picture_area) {
  const double scale = std::max(placed.scale, std::min(placed.scale * kNearer, kNearest));
  const auto start = [side](float middle, float low, float high) {
    return std::clamp(middle - side / 2, low, std::max(low, high - side));
  };
  const float left = start(x, picture_area.left, picture_area.right);
  const float top = start(y, picture_area.top, picture_area.bottom);
  const auto under = placed.ShownAt(x, y);
  return {{left, top, std::min(left + side, picture_area.right), std::min(top + side, picture_area.bottom)},
          {scale, x - scale * under.x, y - scale * under.y}};
}

}  // namespace afterscope
