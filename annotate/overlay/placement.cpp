// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/placement.hpp"

#include <cmath>

namespace afterscope {

double OutFromSq::Scale() const { return std::sqrt(std::abs(xx * yy - xy * yx)); }

OutFromSq PlacePicture(const ShownPicture& shown, OutRect target) {
  if (!(shown.Width() > 0) || !(shown.Height() > 0)) return {};
  const double sx = target.width / shown.Width();
  const double sy = target.height / shown.Height();
  // The map is affine: three points give it.
  const ShownPicture::Spot origin = shown.FromSq({0, 0});
  const ShownPicture::Spot right = shown.FromSq({1, 0});
  const ShownPicture::Spot down = shown.FromSq({0, 1});
  return {sx * (right.x - origin.x), sx * (down.x - origin.x), sx * origin.x + target.x,
          sy * (right.y - origin.y), sy * (down.y - origin.y), sy * origin.y + target.y};
}

}  // namespace afterscope
