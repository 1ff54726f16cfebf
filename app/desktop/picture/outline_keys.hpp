// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/propose_outline.hpp"
#include "app/common/job_scope.hpp"
#include "app/desktop/action_scene.hpp"
#include "app/desktop/picture/picture_panel.hpp"

#include <optional>
#include <string>

namespace afterscope {

// One key has the rest of an outline proposed from the few points of a rhexis or lens edge that were clicked,
// or, with the tool for it in hand, all of a limbus or pupil, clicked or not; it becomes an outline like any
// other, every point movable. Escape, as long as nothing of it was changed, leaves the clicks. One thread.
class OutlineKeys {
 public:
  OutlineKeys(JobRunner& jobs, const PictureState& picture) : jobs_(jobs), picture_(picture) {}

  // An action of the key map. False: not one of these, or not now.
  bool Do(const std::string& action, const ActionScene& on);
  void Forget();  // another case

 private:
  void Propose(const ActionScene& on);
  bool LeaveClicks(const ActionScene& on);

  struct Proposed {
    Mark clicks, outline;  // without an id where no mark was there before
  };
  JobScope jobs_;
  const PictureState& picture_;
  std::optional<Proposed> fresh_;  // the last action was to propose it
};

}  // namespace afterscope
