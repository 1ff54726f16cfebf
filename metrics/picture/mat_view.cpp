// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/mat_view.hpp"

#include "metrics/picture/yuv_to_rgb.hpp"

#include <opencv2/imgproc.hpp>

#include <array>

namespace afterscope {
namespace {

// OpenCV has no read-only view: what is returned must not be written to.
cv::Mat PlaneOf(const Picture& picture, int index) {
  const PlaneView& plane = picture.planes[static_cast<std::size_t>(index)];
  const int type = picture.bytes_per_sample() == 2 ? CV_16UC1 : CV_8UC1;
  cv::Mat view(plane.height, plane.width, type, const_cast<std::uint8_t*>(plane.data),
               static_cast<std::size_t>(plane.stride));
  if (type == CV_8UC1) return view;
  cv::Mat narrow;
  view.convertTo(narrow, CV_8U, 1.0 / 4);  // 10 bits to 8
  return narrow;
}

}  // namespace

cv::Mat LightnessOf(const Picture& picture) { return picture.empty() ? cv::Mat() : PlaneOf(picture, 0); }

cv::Mat HalfBgrOf(const Picture& picture) {
  if (picture.empty()) return {};
  const cv::Size half((picture.width + 1) / 2, (picture.height + 1) / 2);
  std::array<cv::Mat, 3> planes;
  for (int i = 0; i < picture.plane_count(); ++i) {
    const cv::Mat plane = PlaneOf(picture, i);
    planes[static_cast<std::size_t>(i)] = plane;
    if (plane.size() != half)
      cv::resize(plane, planes[static_cast<std::size_t>(i)], half, 0, 0, cv::INTER_AREA);
  }
  cv::Mat bgr;
  if (picture.plane_count() == 1) {
    cv::cvtColor(planes[0], bgr, cv::COLOR_GRAY2BGR);
    return bgr;
  }
  cv::Mat yuv;
  cv::merge(planes.data(), 3, yuv);
  const YuvToRgb to = YuvToRgbFor(picture.matrix, picture.range, 8);
  cv::Matx34f rows;
  for (int row = 0; row < 3; ++row) {
    const auto from = static_cast<std::size_t>(2 - row);  // B, G, R
    for (int k = 0; k < 3; ++k) rows(row, k) = to.matrix[3 * from + static_cast<std::size_t>(k)];
    rows(row, 3) = 255 * to.offset[from];
  }
  cv::transform(yuv, bgr, rows);
  return bgr;
}

}  // namespace afterscope
