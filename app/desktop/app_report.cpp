// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/report_case.hpp"
#include "annotate/report/write_report.hpp"
#include "annotate/store/journal.hpp"
#include "app/common/assets.hpp"
#include "app/desktop/app.hpp"

#include <filesystem>

namespace afterscope {
namespace {

// The state that is shown now, by value: the case may change or be closed meanwhile.
Result<std::vector<std::string>> WriteNow(const CaseView& view, const std::string& path,
                                          const Progress& progress, const StopQuery& stop) {
  ReportCaseOptions options;
  options.assets_folder = AssetsFolder();
  options.program_version = AFTERSCOPE_VERSION;
  AFTERSCOPE_ASSIGN(const ReportModel model, ReportOfReview(view.folder, view.KeptRecord(), view.KeptReview(),
                                                            view.cautions, options, progress, stop));
  PdfOptions pdf;
  pdf.made_at = UtcNow();
  return WriteReport(model, ReportFormat::kPdf, path, pdf);
}

}  // namespace

void App::StartReport() {
  FindingsState& state = sheet_.findings;
  if (view_->folder.empty())
    return Say("There is nothing to report yet; note or mark something first.", true);
  if (state.reporting && !state.reporting->ended()) return;
  const std::string path = (std::filesystem::path(view_->folder) / "report.pdf").string();
  state.reporting = jobs_.Start(
      "Writing the report",
      [view = view_, path](const Progress& progress, const StopQuery& stop) {
        return WriteNow(*view, path, progress, stop);
      },
      [this, alive = alive_, path, generation = generation_](const Result<std::vector<std::string>>& done) {
        if (!*alive || generation != generation_) return;
        if (!done) return Say(done.error().message, done.error().code != ErrorCode::kStopped);
        sheet_.findings.report_path = path;
        Say("The report is in " + path, false);
      });
}

}  // namespace afterscope
