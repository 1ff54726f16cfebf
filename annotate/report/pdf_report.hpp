// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/pdf/page_setup.hpp"
#include "annotate/report/report_model.hpp"
#include "annotate/report/report_page.hpp"
#include "metrics/base/result.hpp"

#include <string>

namespace afterscope {

struct PdfOptions {
  Paper paper = Paper::kA4;
  std::string made_at;  // ISO 8601, into the file's own fields; empty: none
};

struct PdfFile {
  std::string bytes;
  int pages = 0;
  int missing_glyphs =
      0;  // characters that no font of this machine has; a caution in the report tells of them
};

// The report as a PDF: text that can be searched, fonts embedded, a bookmark for every section, no name of a
// user.
Result<PdfFile> MakePdf(const ReportModel& model, const PdfOptions& options);

// One page of the same report, as PageMaker says.
Result<ReportPage> MakeReportPage(const ReportModel& model, const PdfOptions& options, int page,
                                  double pixels_per_point);

}  // namespace afterscope
