// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/write_report.hpp"

#include "annotate/report/build/parts.hpp"
#include "annotate/report/html_report.hpp"
#include "annotate/report/json_report.hpp"
#include "annotate/report/step_table.hpp"
#include "annotate/store/user_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

namespace afterscope {

std::optional<ReportFormat> ReportFormatOf(const std::string& path) {
  std::string lower = path;
  std::transform(lower.begin(), lower.end(), lower.begin(), [](unsigned char c) { return std::tolower(c); });
  if (lower.ends_with(".pdf")) return ReportFormat::kPdf;
  if (lower.ends_with(".html") || lower.ends_with(".htm")) return ReportFormat::kHtml;
  if (lower.ends_with(".json")) return ReportFormat::kJson;
  if (lower.ends_with(".csv")) return ReportFormat::kCsv;
  return std::nullopt;
}

Result<std::vector<std::string>> WriteReport(const ReportModel& model, ReportFormat format,
                                             const std::string& path, const PdfOptions& pdf,
                                             FileSystem& files) {
  std::vector<std::string> cautions;
  std::string bytes;
  switch (format) {
    case ReportFormat::kPdf: {
      AFTERSCOPE_ASSIGN(PdfFile file, MakePdf(model, pdf));
      if (file.missing_glyphs > 0)
        cautions.push_back(
            FillBraces(model.words.Text("caution.glyphs"), {fmt::format("{}", file.missing_glyphs)}));
      bytes = std::move(file.bytes);
      break;
    }
    case ReportFormat::kHtml:
      bytes = MakeHtml(model);
      break;
    case ReportFormat::kJson:
      bytes = MakeJson(model);
      break;
    case ReportFormat::kCsv:
      bytes = MakeStepTable(model);
      break;
  }
  AFTERSCOPE_TRY(WriteUserFile(files, path, bytes));
  return cautions;
}

}  // namespace afterscope
