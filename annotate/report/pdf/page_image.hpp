// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/pdf/pages.hpp"
#include "annotate/report/report_page.hpp"
#include "metrics/base/result.hpp"

#include <functional>

namespace afterscope {

// As PageMaker; `footer` as for EmitPdf.
Result<ReportPage> PageImage(const Pages& pages, int page, double pixels_per_point,
                             const std::function<void(cairo_t*, int, int)>& footer);

}  // namespace afterscope
