// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/jpeg.hpp"

#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include <vector>

namespace afterscope {

std::string EncodeJpeg(const RgbImage& image, int quality) {
  if (image.empty()) return {};
  try {
    const cv::Mat rgb(image.height, image.width, CV_8UC3, const_cast<std::uint8_t*>(image.pixels.data()));
    cv::Mat bgr;
    cv::cvtColor(rgb, bgr, cv::COLOR_RGB2BGR);
    std::vector<std::uint8_t> bytes;
    if (!cv::imencode(".jpg", bgr, bytes, {cv::IMWRITE_JPEG_QUALITY, quality})) return {};
    return {bytes.begin(), bytes.end()};
  } catch (const cv::Exception&) {
    return {};
  }
}

}  // namespace afterscope
