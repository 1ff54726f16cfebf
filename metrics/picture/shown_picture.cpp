// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/shown_picture.hpp"

#include <cmath>

namespace afterscope {

ShownPicture ShownPicture::Of(int width_px, int height_px, Rational pixel_aspect, int rotation_deg) {
  const int turned = ((rotation_deg % 360) + 360) % 360;
  return {width_px, height_px, pixel_aspect.valid() ? pixel_aspect.value() : 1.0,
          turned % 90 == 0 ? turned : 0};
}

ShownPicture ShownPicture::Of(const Picture& picture) {
  return Of(picture.width, picture.height, picture.pixel_aspect, picture.rotation_deg);
}

double ShownPicture::Width() const { return rotation_deg % 180 == 0 ? width_px * aspect : height_px; }
double ShownPicture::Height() const { return rotation_deg % 180 == 0 ? height_px : width_px * aspect; }

ShownPicture::Spot ShownPicture::FromPx(PointPx p) const {
  const double x = (p.x + 0.5) * aspect;
  const double y = p.y + 0.5;
  const double w = width_px * aspect;
  const double h = height_px;
  switch (rotation_deg) {
    case 90:
      return {h - y, x};
    case 180:
      return {w - x, h - y};
    case 270:
      return {y, w - x};
    default:
      return {x, y};
  }
}

PointPx ShownPicture::PxAt(Spot spot) const {
  const double w = width_px * aspect;
  const double h = height_px;
  Spot unturned = spot;
  switch (rotation_deg) {
    case 90:
      unturned = {spot.y, h - spot.x};
      break;
    case 180:
      unturned = {w - spot.x, h - spot.y};
      break;
    case 270:
      unturned = {w - spot.y, spot.x};
      break;
    default:
      break;
  }
  return {unturned.x / aspect - 0.5, unturned.y - 0.5};
}

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
