// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/report_page.hpp"
#include "app/common/job_runner.hpp"
#include "app/desktop/desk/case_desk.hpp"
#include "app/desktop/sheets/sheet_kind.hpp"

#include <functional>
#include <optional>
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
  // Asks for a line of words over the picture; `keep` gets them once they are entered.
  std::function<void(const std::string& title, const std::string& hint, const std::string& text,
                     std::function<void(const std::string&)> keep)>
      ask;
  std::function<void(PageMaker)> show_pages;  // over the picture
  std::function<void()> wake;                 // from any thread: draw again
  // Opens a case folder at a frame; empty: at its beginning.
  std::function<void(const std::string& folder, std::optional<FrameRef> at)> open_at;
  std::function<std::string()> cases_folder;  // whose cases are looked at together; empty: none
};

}  // namespace afterscope
