// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_scope.hpp"
#include "app/desktop/action_scene.hpp"
#include "app/desktop/sheets/cases_state.hpp"
#include "app/desktop/sheets/day_panel.hpp"

#include <string>

namespace afterscope {

// Looks for cases and recordings on the disk, off the thread that draws, and makes cases of the day's
// recordings. One thread.
class CasesKeeper {
 public:
  CasesKeeper(JobRunner& jobs, CasesState& cases, DayState& day, SayCall say)
      : jobs_(jobs), cases_(cases), day_(day), say_(std::move(say)) {}

  // Lists the cases of a folder; what of it is no case yet is offered as a table, at once where it holds no
  // case.
  void Open(const std::string& folder);
  void LookAgain();      // at the folder that is open
  void FollowBrowser();  // once a frame
  void BrowseFromHome();

  // The table of new recordings.
  void ToggleDay();
  void MakeDayCases();

 private:
  void LookForCases(const std::string& folder);
  void TakeCases(std::vector<ShelfCase> found);
  void LookForRecordings(const std::string& folder);
  void OfferDay();

  JobScope jobs_;
  CasesState& cases_;
  DayState& day_;
  SayCall say_;
  int lookups_ = 0;  // for cases; the result of an earlier one is dropped
};

}  // namespace afterscope
