// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/cases_keeper.hpp"

#include <algorithm>
#include <cstdlib>
#include <utility>

namespace afterscope {

void CasesKeeper::Open(const std::string& folder) {
  cases_.shelf.clear();
  LookForCases(folder);
  LookForRecordings(folder);
}

void CasesKeeper::LookAgain() {
  if (!cases_.shelf_folder.empty()) LookForCases(cases_.shelf_folder);
}

void CasesKeeper::LookForCases(const std::string& folder) {
  cases_.shelf_folder = folder;
  if (cases_.looking) cases_.looking->Stop();
  cases_.looking = jobs_.Start(
      "Looking for cases",
      [folder](const Progress& progress, const StopQuery& stop) { return FindCases(folder, progress, stop); },
      [this, count = ++lookups_](std::vector<ShelfCase> found) {
        if (count == lookups_) TakeCases(std::move(found));
      });
}

void CasesKeeper::TakeCases(std::vector<ShelfCase> found) {
  const bool stopped = std::exchange(cases_.looking, nullptr)->stop_asked();
  cases_.shelf = std::move(found);
  if (!stopped) return OfferDay();
  say_(cases_.shelf.empty()
           ? "Stopped before a case was found; open the folder again to look for them all."
           : "Stopped: only the cases found so far are listed; open the folder again for all.",
       false);
}

void CasesKeeper::FollowBrowser() {
  if (cases_.wanted_folder.empty() || cases_.listing_loading) return;
  cases_.listing_loading = true;
  jobs_.Start(
      "",
      [folder = std::exchange(cases_.wanted_folder, {})](const Progress&, const StopQuery&) {
        return ListFolder(folder);
      },
      [this](FolderListing listing) {
        cases_.listing = std::move(listing);
        cases_.listing_loading = false;
      });
}

void CasesKeeper::BrowseFromHome() {
  if (!cases_.listing.folder.empty()) return;
  const char* home = std::getenv("HOME");
  cases_.wanted_folder = home == nullptr ? "." : home;
}

void CasesKeeper::LookForRecordings(const std::string& folder) {
  day_ = {};
  day_.folder = folder;
  day_.job = jobs_.Start(
      "Looking at the recordings",
      [folder](const Progress& progress, const StopQuery& stop) { return FindDay(folder, progress, stop); },
      [this, folder](Result<std::vector<DayRow>> rows) {
        if (day_.folder != folder) return;
        if (!rows) return say_(rows.error().message, rows.error().code != ErrorCode::kStopped);
        day_.rows = std::move(rows).value();
        day_.row = 0;
        OfferDay();
      });
}

void CasesKeeper::OfferDay() {
  if (day_.rows.empty() || cases_.looking || !cases_.shelf.empty()) return;
  day_.open = true;
  day_.wants_focus = true;
}

void CasesKeeper::ToggleDay() {
  if (day_.rows.empty())
    return say_("There is no new recording; open a folder with recordings first.", false);
  day_.open = !day_.open;
  day_.wants_focus = true;
}

void CasesKeeper::MakeDayCases() {
  if (day_.rows.empty() || (day_.job && !day_.job->ended())) return;
  for (DayRow& row : day_.rows) {
    const auto fields = row.take ? FieldsOfRow(row) : Result<EditGroup>(EditGroup{});
    row.problem = fields ? std::string() : fields.error().message;
    if (!fields) return say_(fields.error().message, true);
  }
  day_.job = jobs_.Start(
      "Making the cases",
      [rows = day_.rows](const Progress& progress, const StopQuery& stop) {
        return MakeDay(rows, progress, stop);
      },
      [this, folder = day_.folder](std::vector<DayRow> rows) {
        if (day_.folder != folder) return;
        std::erase_if(rows, [](const DayRow& row) { return row.take && row.problem.empty(); });
        const bool all = std::none_of(rows.begin(), rows.end(), [](const DayRow& row) { return row.take; });
        day_.rows = std::move(rows);
        day_.open = !all;
        LookForCases(folder);
      });
}

}  // namespace afterscope
