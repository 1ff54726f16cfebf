// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_runner.hpp"
#include "app/desktop/desk/case_desk.hpp"
#include "app/desktop/sheets/sheet_kind.hpp"

#include <functional>
#include <string>

namespace afterscope {

// What a sheet that does work of its own asks of the app, from the thread that draws. They hold as long as
// the app does; what `jobs` has done comes back on the same thread.
struct SheetCalls {
  JobRunner& jobs;
  std::function<void(const std::string& text, bool failure)> say;
  std::function<void(FrameRef)> jump;
  std::function<void(CaseRequest)> push;  // says so where the case can't be changed
  std::function<void(SheetKind)> show;    // opens that sheet
};

}  // namespace afterscope
