// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/findings_keeper.hpp"

#include "annotate/jobs/measure.hpp"
#include "annotate/jobs/measure/tip_map.hpp"
#include "annotate/jobs/report_case.hpp"
#include "annotate/report/write_report.hpp"
#include "annotate/store/followed_files.hpp"
#include "annotate/store/journal.hpp"
#include "annotate/store/review_folders.hpp"
#include "app/common/assets.hpp"
#include "app/common/console.hpp"

#include <filesystem>
#include <utility>

namespace afterscope {
namespace {

constexpr int kQuickSimulations = 100;  // enough to see, at once, what an edit does

bool Runs(const JobHandle& job) { return job && !job->ended(); }

// The case as it is given, by value: it may change or be closed meanwhile.
Result<std::shared_ptr<const ReportModel>> WriteNow(const CaseView& view, const std::string& path,
                                                    const Progress& progress, const StopQuery& stop) {
  ReportCaseOptions options;
  options.assets_folder = AssetsFolder();
  options.program_version = AFTERSCOPE_VERSION;
  options.today = Today();
  AFTERSCOPE_ASSIGN(ReportModel model, ReportOfReview(view.folder, view.KeptRecord(), view.KeptReview(),
                                                      view.cautions, options, progress, stop));
  PdfOptions pdf;
  pdf.made_at = UtcNow();
  AFTERSCOPE_TRY(WriteReport(model, ReportFormat::kPdf, path, pdf));
  return std::make_shared<const ReportModel>(std::move(model));
}

}  // namespace

void FindingsKeeper::Forget() {
  jobs_.Renew();
  state_.typed.clear();
  state_.findings.clear();
  state_.tip_maps.clear();
  state_.revision = 0;
  state_.shown_revision = 0;
  state_.report_path.clear();
  report_.reset();
}

void FindingsKeeper::Follow(const std::shared_ptr<const CaseView>& view, const Scene& scene) {
  if (view->folder.empty()) return;
  if (view->revision != state_.revision) {
    if (Runs(state_.measuring)) return;  // the latest state is taken up when this one is done
    state_.revision = view->revision;
    state_.refine = true;
    Measure(view, scene, true);
  } else if (state_.refine && !Runs(state_.measuring) && !Runs(state_.refining)) {
    state_.refine = false;
    Measure(view, scene, false);
  }
}

void FindingsKeeper::Measure(const std::shared_ptr<const CaseView>& view, const Scene& scene, bool quick) {
  MeasureOptions options;
  if (quick) options.simulations = kQuickSimulations;
  CaseRecord record = view->record;
  record.recordings = scene.reel.Known(record.recordings);
  (quick ? state_.measuring : state_.refining) = jobs_.Start(
      "",
      [record = std::move(record), view, steps = scene.steps, options](const Progress&,
                                                                       const StopQuery& stop) {
        const std::vector<Review> others = MarkedBesides(view->folder, view->review.id);
        MeasureOptions with_others = options;
        with_others.others = PointersTo(others);
        with_others.stop = stop;
        const Followed followed = LoadFollowed(view->folder, view->review.id);
        return std::pair(MeasureReview(record, view->review, steps, with_others, followed),
                         MapTips(record, view->review, followed));
      },
      [this, revision = view->revision,
       quick](std::pair<std::vector<Finding>, std::vector<TipMap>> measured) {
        if (revision < state_.shown_revision || (quick && revision == state_.shown_revision)) return;
        state_.shown_revision = revision;
        state_.refined = !quick;
        state_.findings = std::move(measured.first);
        state_.tip_maps = std::move(measured.second);
      });
}

void FindingsKeeper::StartReport(const std::shared_ptr<const CaseView>& view, const SayCall& say) {
  if (view->folder.empty()) return say("There is nothing to report yet; note or mark something first.", true);
  if (Runs(state_.reporting)) return;
  const std::string path = (std::filesystem::path(view->folder) / "report.pdf").string();
  state_.reporting = jobs_.Start(
      "Writing the report",
      [view, path](const Progress& progress, const StopQuery& stop) {
        return WriteNow(*view, path, progress, stop);
      },
      [this, &say, path](const Result<std::shared_ptr<const ReportModel>>& done) {
        if (!done) return say(done.error().message, done.error().code != ErrorCode::kStopped);
        state_.report_path = path;
        report_ = *done;
        const std::vector<std::string>& told = report_->told;
        say("The report is in " + path + (told.empty() ? "" : ". " + told.front()), false);
      });
}

}  // namespace afterscope
