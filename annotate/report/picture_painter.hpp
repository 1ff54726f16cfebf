// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/report_model.hpp"
#include "metrics/picture/shown_picture.hpp"

#include <string>

typedef struct _cairo cairo_t;

namespace afterscope {

// Height by width of what is shown of a picture; 9/16 where there is none.
double ProportionOf(const ReportPicture& picture);

// Paints the shown part with its shapes into `target`; an even dark ground where the part reaches over the
// edge. The picture goes in as JPEG where the output can take it. Nothing for a picture that is missing.
void PaintPicture(cairo_t* cairo, const ReportPicture& picture, OutRect target, double unit_per_pt);

// The same as a JPEG file of that width; `width_pt` is how wide it will be shown, for the width of lines.
// Empty for a picture that is missing, or where it can't be made.
std::string PictureAsJpeg(const ReportPicture& picture, int width_px, double width_pt);

}  // namespace afterscope
