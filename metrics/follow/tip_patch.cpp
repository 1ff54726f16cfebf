// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_patch.hpp"

#include <opencv2/imgproc.hpp>

#include <cmath>

namespace afterscope {

cv::Size TipPatchShape::SizeAt(double px_per_mm) const {
  const cv::Point tip = TipAt(px_per_mm);
  return {tip.x + 1 + static_cast<int>(std::lround(behind_mm * px_per_mm)), 2 * tip.y + 1};
}

cv::Point TipPatchShape::TipAt(double px_per_mm) const {
  return {static_cast<int>(std::lround(beyond_mm * px_per_mm)),
          static_cast<int>(std::lround(beside_mm * px_per_mm))};
}

cv::Mat Turned(const cv::Mat& picture, PointPx origin, Angle shaft, double scale, cv::Point2d at,
               cv::Size size) {
  const double c = std::cos(shaft.radians()) / scale, s = std::sin(shaft.radians()) / scale;
  const cv::Matx23d picture_from_patch(c, -s, origin.x - c * at.x + s * at.y, s, c,
                                       origin.y - s * at.x - c * at.y);
  cv::Mat out;
  cv::warpAffine(picture, out, picture_from_patch, size, cv::INTER_LINEAR | cv::WARP_INVERSE_MAP,
                 cv::BORDER_REPLICATE);
  return out;
}

PointPx FromTurned(PointPx origin, Angle shaft, double scale, cv::Point2d at, cv::Point2d q) {
  const double c = std::cos(shaft.radians()) / scale, s = std::sin(shaft.radians()) / scale;
  const double x = q.x - at.x, y = q.y - at.y;
  return {origin.x + c * x - s * y, origin.y + s * x + c * y};
}

cv::Point2d ToTurned(PointPx origin, Angle shaft, double scale, cv::Point2d at, PointPx p) {
  const double c = scale * std::cos(shaft.radians()), s = scale * std::sin(shaft.radians());
  const OffsetPx d = p - origin;
  return {at.x + c * d.x + s * d.y, at.y - s * d.x + c * d.y};
}

}  // namespace afterscope
