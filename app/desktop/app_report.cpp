// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"
#include "annotate/report/build_report.hpp"
#include "annotate/report/report_words.hpp"
#include "annotate/report/write_report.hpp"
#include "app/common/assets.hpp"
#include "app/desktop/app.hpp"

#include <filesystem>

namespace afterscope {
namespace {

// All that the job needs, by value: the case may change or be closed meanwhile.
struct ReportTask {
  std::shared_ptr<const CaseView> view;
  CaseRecord record;
  StepList steps;
  std::vector<std::shared_ptr<Recording>> recordings;
  std::string path;
};

Result<Picture> PictureOf(const ReportTask& task, FrameRef at, const StopQuery& stop) {
  const auto i = static_cast<std::size_t>(at.recording);
  if (i >= task.recordings.size() || !task.recordings[i])
    return Error{ErrorCode::kUnreadable, "The recording of this frame is not at hand."};
  return task.recordings[i]->Frame(at.pts, stop);
}

std::map<std::string, std::string> NamesFrom(const char* file, const char* member) {
  std::map<std::string, std::string> names;
  if (const auto list = LoadWordList(AssetsFolder() + file, member))
    for (const WordList::Item& item : list->items) names[item.key] = item.name;
  return names;
}

Result<std::vector<std::string>> WriteNow(const ReportTask& task, const Progress& progress,
                                          const StopQuery& stop) {
  AFTERSCOPE_ASSIGN(ReportWords words, LoadReportWords(AssetsFolder() + "/reports/words.json"));
  ReportInput input{task.record, task.view->review,
                    task.steps,  MeasureReview(task.record, task.view->review, task.steps, {}),
                    {},          std::move(words),
                    {},          {},
                    {},          {},
                    {}};
  input.frames = [&](FrameRef at) { return PictureOf(task, at, stop); };
  input.names = NamesFrom("/complications.json", "complications");
  input.names.merge(NamesFrom("/difficulty.json", "difficulties"));
  input.cautions = task.view->cautions;
  AFTERSCOPE_ASSIGN(const ReportModel model, BuildReport(input, progress, stop));
  return WriteReport(model, ReportFormat::kPdf, task.path, {});
}

}  // namespace

void App::StartReport() {
  FindingsState& state = sheet_.findings;
  if (view_->folder.empty())
    return Say("There is nothing to report yet; note or mark something first.", true);
  if (state.reporting && !state.reporting->ended()) return;
  ReportTask task{
      view_, view_->record, steps_, {}, (std::filesystem::path(view_->folder) / "report.pdf").string()};
  task.record.recordings = reel_.Known(task.record.recordings);
  for (std::size_t i = 0; i < reel_.items().size(); ++i)
    task.recordings.push_back(reel_.Shared(static_cast<int>(i)));
  const std::string path = task.path;
  state.reporting = jobs_.Start(
      "Writing the report",
      [task = std::move(task)](const Progress& progress, const StopQuery& stop) {
        return WriteNow(task, progress, stop);
      },
      [this, alive = alive_, path, generation = generation_](const Result<std::vector<std::string>>& done) {
        if (!*alive || generation != generation_) return;
        if (!done) return Say(done.error().message, done.error().code != ErrorCode::kStopped);
        sheet_.findings.report_path = path;
        Say("The report is in " + path, false);
      });
}

}  // namespace afterscope
