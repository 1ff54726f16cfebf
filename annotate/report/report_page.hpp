// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/picture/rgb_image.hpp"

#include <functional>

namespace afterscope {

// One page of a report as a picture on white.
struct ReportPage {
  RgbImage image;
  int page = 0;  // from 1 on
  int pages = 0;
};

// Draws the page, so many pixels to a point; the last one where there are fewer, the first for less than 1.
// Blocks; called on any thread.
using PageMaker = std::function<Result<ReportPage>(int page, double pixels_per_point)>;

}  // namespace afterscope
