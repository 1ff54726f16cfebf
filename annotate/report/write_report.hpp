// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/pdf_report.hpp"
#include "annotate/report/report_model.hpp"
#include "annotate/store/file_system.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

enum class ReportFormat { kPdf, kHtml, kJson, kCsv };

// By the ending of the name (.pdf, .html or .htm, .json, .csv, in either case); empty for another one.
std::optional<ReportFormat> ReportFormatOf(const std::string& path);

// Makes the report and puts it in place of `path` whole: a failure leaves what was there. Returns what the
// user should be told, such as characters that no font of this machine has.
Result<std::vector<std::string>> WriteReport(const ReportModel& model, ReportFormat format,
                                             const std::string& path, const PdfOptions& pdf,
                                             FileSystem& files = RealFileSystem());

}  // namespace afterscope
