// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "app/desktop/action_scene.hpp"
#include "app/desktop/desk/step_list_keeper.hpp"

#include <cstdint>
#include <optional>
#include <string>

namespace afterscope {

// What keys do to the steps of the open case: starting and ending them, their boundaries, names, operators
// and take-overs, undo and redo. One thread.
class StepKeys {
 public:
  explicit StepKeys(StepListKeeper& steps) : steps_(steps) {}

  // An action of the key map; `about`: the visit that it is about (empty: the one at the playhead). False:
  // not one of these.
  bool Do(const std::string& action, const ActionScene& on, const std::optional<VisitId>& about);
  // A step's own key starts it, after "other hand" in that lane; while a step is being renamed it gives the
  // name. False: no step has it.
  bool Press(const KeyChord& chord, const ActionScene& on);
  void Start(const std::string& step, int lane, const ActionScene& on);

  // The next step's key is the new name of a step, or the other hand's.
  bool renaming() const { return renaming_.has_value(); }
  bool other_hand() const { return other_hand_; }
  void Leave();

 private:
  bool DoTagging(const std::string& action, const ActionScene& on);
  bool DoVisit(const std::string& action, const ActionScene& on, const std::optional<VisitId>& about);
  bool DoBoundary(const std::string& action, const ActionScene& on);
  bool DoHistory(const std::string& action, const ActionScene& on);
  void RenameTo(const std::string& step, CaseDesk& desk);
  void Change(const std::string& action, const StepVisit& visit, const ActionScene& on);
  void AskOperator(const StepVisit& visit, const ActionScene& on);
  void AskOwnStep(const ActionScene& on);

  StepListKeeper& steps_;
  std::optional<VisitId> renaming_;
  bool other_hand_ = false;
};

}  // namespace afterscope
