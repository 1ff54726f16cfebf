// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/step_list.hpp"
#include "app/common/job_scope.hpp"
#include "app/desktop/action_scene.hpp"
#include "app/desktop/sheets/findings_state.hpp"

#include <memory>

namespace afterscope {

struct ReportModel;

// Keeps the findings that the window shows in step with the case, and writes its report. One thread.
class FindingsKeeper {
 public:
  FindingsKeeper(JobRunner& jobs, FindingsState& state) : jobs_(jobs), state_(state) {}

  // Once a frame: at once with rough limits, then with full ones. What was computed for an older state of the
  // case never replaces what was computed for a newer one.
  void Follow(const std::shared_ptr<const CaseView>& view, const Scene& scene);
  void Forget();                         // another case
  void Renew() { state_.revision = 0; }  // what it is computed from has changed beside the case itself
  // Writes report.pdf into the case folder, from the state that is shown now.
  void StartReport(const std::shared_ptr<const CaseView>& view, const SayCall& say);
  // What was written last for this case; null: nothing yet.
  const std::shared_ptr<const ReportModel>& report() const { return report_; }

 private:
  void Measure(const std::shared_ptr<const CaseView>& view, const Scene& scene, bool quick);

  JobScope jobs_;
  FindingsState& state_;
  std::shared_ptr<const ReportModel> report_;
};

}  // namespace afterscope
