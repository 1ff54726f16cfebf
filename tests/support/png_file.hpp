// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

#include <string>

namespace afterscope::testing {

// By libpng itself: OpenCV's reader of files would make each start of a test program three times as long.
// Blue, green, red (8 bits), or grey alone; empty where it can't be read.
cv::Mat ReadPngFile(const std::string& path, bool grey = false);
bool WritePngFile(const cv::Mat& bgr, const std::string& path);

}  // namespace afterscope::testing
