// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/pdf/furniture.hpp"

namespace afterscope {

// A picture of the report with what stands under it: its caption and its frame, or why it is missing.
struct PictureBlock {
  double width = 0;
  double height = 0;
  std::function<void(cairo_t*, double x, double y)> draw;
};
PictureBlock MakePictureBlock(PdfBook& book, const ReportPicture& picture, double width, double most_height);

}  // namespace afterscope
