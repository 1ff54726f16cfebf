// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"
#include "app/desktop/app.hpp"

namespace afterscope {

// The findings follow the case: computed in the background; what was started for an older state is dropped.
void App::FollowFindings() {
  FindingsState& state = sheet_.findings;
  if (view_->revision == state.revision || view_->folder.empty()) return;
  if (state.measuring && !state.measuring->ended()) return;  // the latest is taken up when this one is done
  state.revision = view_->revision;
  CaseRecord record = view_->record;
  record.recordings = reel_.Known(record.recordings);
  state.measuring = jobs_.Start(
      "",
      [record = std::move(record), view = view_, steps = steps_](const Progress&, const StopQuery&) {
        return MeasureReview(record, view->review, steps, {});
      },
      [this, alive = alive_, generation = generation_](std::vector<Finding> findings) {
        if (*alive && generation == generation_) sheet_.findings.findings = std::move(findings);
      });
}

}  // namespace afterscope
