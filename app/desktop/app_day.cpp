// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"

#include <algorithm>

namespace afterscope {

// What of a folder is no case yet is offered as a table, at once where the folder holds no case.
void App::LookForRecordings(const std::string& folder) {
  DayState& day = sheet_.day;
  day = {};
  day.folder = folder;
  day.job = jobs_.Start(
      "Looking at the recordings",
      [folder](const Progress& progress, const StopQuery& stop) { return FindDay(folder, progress, stop); },
      [this, alive = alive_, folder](Result<std::vector<DayRow>> rows) {
        if (!*alive || sheet_.day.folder != folder) return;
        if (!rows) return Say(rows.error().message, rows.error().code != ErrorCode::kStopped);
        sheet_.day.rows = std::move(rows).value();
        sheet_.day.row = 0;
        OfferDay();
      });
}

void App::OfferDay() {
  if (sheet_.day.rows.empty() || sheet_.cases.shelf_loading || !sheet_.cases.shelf.empty()) return;
  sheet_.day.open = true;
  sheet_.day.wants_focus = true;
}

void App::MakeDayCases() {
  DayState& day = sheet_.day;
  if (day.rows.empty() || (day.job && !day.job->ended())) return;
  for (DayRow& row : day.rows) {
    const auto fields = row.take ? FieldsOfRow(row) : Result<EditGroup>(EditGroup{});
    row.problem = fields ? std::string() : fields.error().message;
    if (!fields) return Say(fields.error().message, true);
  }
  day.job = jobs_.Start(
      "Making the cases",
      [rows = day.rows](const Progress& progress, const StopQuery& stop) {
        return MakeDay(rows, progress, stop);
      },
      [this, alive = alive_, folder = day.folder](std::vector<DayRow> rows) {
        if (!*alive || sheet_.day.folder != folder) return;
        std::erase_if(rows, [](const DayRow& row) { return row.take && row.problem.empty(); });
        const bool all = std::none_of(rows.begin(), rows.end(), [](const DayRow& row) { return row.take; });
        sheet_.day.rows = std::move(rows);
        sheet_.day.open = !all;
        LookForCases(folder);
      });
}

// The case after (1) or before (-1) the open one on the shelf.
void App::OpenNeighbour(int direction) {
  const std::vector<ShownShelfCase> shelf = ShelfAsShown();
  const auto folder_of = [this](const ShownShelfCase& entry) {
    return sheet_.cases.shelf[entry.place].folder;
  };
  if (shelf.empty()) return Say("There is no list of cases; open a folder first.", false);
  const auto here = std::find_if(shelf.begin(), shelf.end(), [&](const ShownShelfCase& entry) {
    return folder_of(entry) == view_->folder && !view_->folder.empty();
  });
  const auto last = static_cast<std::ptrdiff_t>(shelf.size()) - 1;
  const std::ptrdiff_t place = here == shelf.end() ? (direction > 0 ? -1 : last + 1) : here - shelf.begin();
  if (place + direction < 0 || place + direction > last)
    return Say(direction > 0 ? "This is the last case of the list." : "This is the first case of the list.",
               false);
  OpenPaths({folder_of(shelf[static_cast<std::size_t>(place + direction)])});
}

bool App::DoCases(const std::string& action) {
  if (action == "next case") {
    OpenNeighbour(1);
  } else if (action == "previous case") {
    OpenNeighbour(-1);
  } else if (action == "make cases") {
    MakeDayCases();
  } else if (action == "take in") {
    if (view_->hidden) {
      Say("New recordings are taken in by their names, which are hidden while a blinded review is open.",
          true);
    } else if (sheet_.day.rows.empty()) {
      Say("There is no new recording; open a folder with recordings first.", false);
    } else {
      sheet_.day.open = !sheet_.day.open;
      sheet_.day.wants_focus = true;
    }
  } else {
    return false;
  }
  return true;
}

}  // namespace afterscope
