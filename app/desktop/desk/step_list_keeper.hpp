// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/step_list.hpp"
#include "app/common/job_scope.hpp"
#include "app/desktop/action_scene.hpp"

#include <string>

namespace afterscope {

// The step list of the open case: one of its own in its folder, else the one of that id that the program
// brings. One thread.
class StepListKeeper {
 public:
  StepListKeeper(JobRunner& jobs, SayCall say);

  const StepList& list() const { return list_; }
  // Once a frame: loads the list where the case is another or names another.
  void Follow(const CaseView& view);
  // Another case is opened: nothing that is under way is for it.
  void Forget();

  // Keeps a list with the case: as a file in its folder, under the id that the case names.
  void Keep(const StepList& list, const ActionScene& on);
  // The key of the step of that name, which is added to the case's list where it has none; empty for an empty
  // name. For a case that is open for writing.
  std::string NewStep(const std::string& name, CaseDesk& desk);
  // Reads and writes files in the background, as all here does.
  void TakeFrom(const std::string& path, const ActionScene& on);
  void WriteTo(const std::string& path);

 private:
  void Put(const StepList& list, CaseDesk& desk);

  JobScope jobs_;
  SayCall say_;
  StepList list_;
  std::string id_;  // that the case named when it was loaded
  std::string folder_;
  bool forgotten_ = false;  // to be loaded whatever the case
};

}  // namespace afterscope
