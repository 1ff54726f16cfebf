// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/pdf/pages.hpp"
#include "metrics/base/result.hpp"

#include <functional>
#include <string>

namespace afterscope {

// The bytes of a PDF of these pages. `made_at`: ISO 8601, into the file's own fields; empty: none. `footer`
// draws on each page, with its number and their count.
Result<std::string> EmitPdf(const Pages& pages, const std::string& title, const std::string& made_at,
                            const std::function<void(cairo_t*, int, int)>& footer);

}  // namespace afterscope
