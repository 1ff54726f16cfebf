// SPDX-License-Identifier: Apache-2.0
#include "tests/support/png_file.hpp"

#include <png.h>

namespace afterscope::testing {

cv::Mat ReadPngFile(const std::string& path, bool grey) {
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  if (png_image_begin_read_from_file(&image, path.c_str()) == 0) return {};
  image.format = grey ? PNG_FORMAT_GRAY : PNG_FORMAT_BGR;
  cv::Mat picture(static_cast<int>(image.height), static_cast<int>(image.width), grey ? CV_8UC1 : CV_8UC3);
  const png_color black{};
  return png_image_finish_read(&image, &black, picture.data, static_cast<int>(picture.step), nullptr) != 0
             ? picture
             : cv::Mat();
}

bool WritePngFile(const cv::Mat& bgr, const std::string& path) {
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  image.width = static_cast<png_uint_32>(bgr.cols);
  image.height = static_cast<png_uint_32>(bgr.rows);
  image.format = PNG_FORMAT_BGR;
  return png_image_write_to_file(&image, path.c_str(), 0, bgr.data, static_cast<int>(bgr.step), nullptr) != 0;
}

}  // namespace afterscope::testing
