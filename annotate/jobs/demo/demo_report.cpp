// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/demo/demo_report.hpp"

#include "annotate/jobs/report_case.hpp"
#include "annotate/report/write_report.hpp"

namespace afterscope {

Status WriteDemoReport(const std::string& code, const DemoPlaces& places, const std::string& assets_folder,
                       const std::string& program_version, const Progress& progress, const StopQuery& stop,
                       FileSystem& files) {
  ReportCaseOptions options;
  options.assets_folder = assets_folder;
  options.program_version = program_version;
  AFTERSCOPE_ASSIGN(const ReportModel model,
                    ReportOfCase(places.CaseFolder(code), options, progress, stop, files));
  const auto written = WriteReport(model, ReportFormat::kPdf, places.Report(code), PdfOptions{}, files);
  return written.ok() ? Status() : Status(written.error());
}

}  // namespace afterscope
