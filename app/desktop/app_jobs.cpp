// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"
#include "annotate/store/followed_files.hpp"
#include "app/desktop/app.hpp"

namespace afterscope {
namespace {

constexpr int kQuickSimulations = 100;  // enough to see, at once, what an edit does

}  // namespace

void App::Measure(bool quick) {
  FindingsState& state = sheet_.findings;
  MeasureOptions options;
  if (quick) options.simulations = kQuickSimulations;
  CaseRecord record = view_->record;
  record.recordings = reel_.Known(record.recordings);
  (quick ? state.measuring : state.refining) = jobs_.Start(
      "",
      [record = std::move(record), view = view_, steps = steps_, options](const Progress&, const StopQuery&) {
        return MeasureReview(record, view->review, steps, options,
                             LoadFollowed(view->folder, view->review.id));
      },
      [this, alive = alive_, generation = generation_, revision = view_->revision,
       quick](std::vector<Finding> findings) {
        if (!*alive || generation != generation_) return;
        FindingsState& shown = sheet_.findings;
        if (revision < shown.shown_revision || (quick && revision == shown.shown_revision)) return;
        shown.shown_revision = revision;
        shown.refined = !quick;
        shown.findings = std::move(findings);
      });
}

// The findings follow the case: at once with rough limits, then with full ones. What was computed for an
// older state never replaces what was computed for a newer one.
void App::FollowFindings() {
  FindingsState& state = sheet_.findings;
  if (view_->folder.empty()) return;
  const auto runs = [](const JobHandle& job) { return job && !job->ended(); };
  if (view_->revision != state.revision) {
    if (runs(state.measuring)) return;  // the latest state is taken up when this one is done
    state.revision = view_->revision;
    state.refine = true;
    Measure(true);
  } else if (state.refine && !runs(state.measuring) && !runs(state.refining)) {
    state.refine = false;
    Measure(false);
  }
}

}  // namespace afterscope
