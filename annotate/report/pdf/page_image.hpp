// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/pdf/pages.hpp"
#include "metrics/base/result.hpp"
#include "metrics/picture/rgb_image.hpp"

#include <functional>

namespace afterscope {

// A page, from 1 on, as a picture on white, so many pixels to a point; `footer` as for EmitPdf.
Result<RgbImage> PageImage(const Pages& pages, int page, double pixels_per_point,
                           const std::function<void(cairo_t*, int, int)>& footer);

}  // namespace afterscope
