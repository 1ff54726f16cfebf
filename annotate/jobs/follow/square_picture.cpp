// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/square_picture.hpp"

#include "metrics/picture/mat_view.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>

namespace afterscope {
namespace {

// Every second line, from that of the first field on, each where it was, and between them what lies between.
// Into memory of its own: the picture's is shared, and may not be written to.
cv::Mat FieldDoubled(const cv::Mat& whole, FieldOrder order) {
  const int first = order == FieldOrder::kBottomFirst && whole.rows > 1 ? 1 : 0;
  const int rows = (whole.rows - first + 1) / 2;
  const cv::Mat field(rows, whole.cols, whole.type(), const_cast<std::uint8_t*>(whole.ptr(first)),
                      2 * whole.step);
  cv::Mat out;
  cv::warpAffine(field, out, cv::Matx23d(1, 0, 0, 0, 0.5, -0.5 * first), whole.size(),
                 cv::INTER_LINEAR | cv::WARP_INVERSE_MAP, cv::BORDER_REPLICATE);
  return out;
}

cv::Mat Squared(const cv::Mat& mat, Rational aspect) {
  if (mat.empty() || !aspect.valid() || aspect.num == aspect.den) return mat;
  cv::Mat out;
  // Not cv::resize, whose pixel (0, 0) would not stay where SqFromPx has it.
  cv::warpAffine(mat, out, cv::Matx23d(1 / aspect.value(), 0, 0, 0, 1, 0),
                 {std::max(1, cvRound(mat.cols * aspect.value())), mat.rows},
                 cv::INTER_LINEAR | cv::WARP_INVERSE_MAP, cv::BORDER_REPLICATE);
  return out;
}

}  // namespace

cv::Mat SquareLightness(const Picture& picture) {
  cv::Mat whole = LightnessOf(picture);
  if (!whole.empty() && picture.fields != FieldOrder::kProgressive)
    whole = FieldDoubled(whole, picture.fields);
  return Squared(whole, picture.pixel_aspect);
}

cv::Mat SquareHalfBgr(const Picture& picture) { return Squared(HalfBgrOf(picture), picture.pixel_aspect); }

}  // namespace afterscope
