// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"
#include "app/desktop/desk/new_case.hpp"
#include "app/desktop/fairly/blind_covers.hpp"
#include "app/desktop/sheets/work_sheets.hpp"

#include <algorithm>
#include <filesystem>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

std::string Absolute(const std::string& path) {
  std::error_code problem;
  const fs::path absolute = fs::absolute(path, problem);
  return problem ? path : absolute.lexically_normal().string();
}

// The sheet beside a case that has just been opened: the one that was open last, unless that is for choosing
// cases.
SheetKind UsualSheet(const ViewSettings& settings) {
  const auto last = static_cast<SheetKind>(settings.sheet);
  return last > SheetKind::kCases && last <= SheetKind::kDrafts ? last : SheetKind::kSteps;
}

// What was asked for, looked up on the disk.
struct Found {
  std::vector<std::string> paths;
  PathKind kind = PathKind::kMissing;
  std::string known_case;  // that the recording has become before; empty: none
};

Found LookUp(const std::vector<std::string>& given) {
  Found found;
  for (const std::string& path : given) found.paths.push_back(Absolute(path));
  std::string& first = found.paths[0];
  if (first.size() > 1 && first.back() == '/') first.pop_back();
  found.kind = KindOfPath(first);
  if (found.kind != PathKind::kFile || found.paths.size() != 1) return found;
  const std::string known = CaseFolderFor(first);
  if (KindOfPath(known) == PathKind::kCase) found.known_case = known;
  return found;
}

}  // namespace

// A disk may keep whoever asks it waiting, so it is asked in the background.
void App::OpenPaths(const std::vector<std::string>& given) {
  if (given.empty()) return;
  sheet_.cases.browsing = false;
  lasting_jobs_.Start(
      "", [given](const Progress&, const StopQuery&) { return LookUp(given); },
      [this](const Found& found) {
        if (found.kind == PathKind::kCase) return OpenCase(found.paths[0]);
        if (found.kind == PathKind::kFolder) return OpenShelf(found.paths[0]);
        if (found.kind == PathKind::kMissing)
          return Say("There is no file or folder '" + found.paths[0] + "'.", true);
        if (found.paths.size() == 1 && found.paths[0].ends_with(".json")) return TakeForm(found.paths[0]);
        if (found.paths.size() == 1 && found.paths[0].ends_with(".csv"))
          return works_->series().TakeTable(found.paths[0], view_->folder);
        if (found.paths.size() == 1 && LooksLikeNarration(found.paths[0]))
          return TakeNarration(found.paths[0]);
        found.known_case.empty() ? OpenRecordings(found.paths) : OpenCase(found.known_case);
      });
}

void App::StartDesk() {
  if (desk_) sound_.EndSpeaking(Here());
  case_jobs_.Renew();
  desk_.reset();
  const auto later = lasting_jobs_.Poster();
  CaseDesk::Listener listener;
  listener.changed = shell_.wake;
  listener.said = [this, later](const std::string& text) { later([this, text] { Say(text, false); }); };
  listener.failed = [this, later](const std::string& text) { later([this, text] { Say(text, true); }); };
  desk_ = std::make_unique<CaseDesk>(std::move(listener));
  view_ = std::make_shared<CaseView>();
  opened_folder_.clear();
  bare_recordings_.clear();
  opens_at_.reset();
  player_.Pause(now_);
  reel_.Open({});
  small_.Forget();
  sound_.Forget({});
  choice_ = {};
  ForgetPicture(picture_);
  quiet_lines_.Forget();
  steps_.Forget();
  step_keys_.Leave();
  mark_keys_.Forget();
  note_.kind.reset();
  ask_ = {};
  sheet_.cases.typed.clear();
  findings_.Forget();
  follow_.Forget();
  outline_keys_.Forget();
  works_->Forget();
  fair_.Forget();
  was_hidden_ = false;
  compare_.Forget();
  walk_.End();
  if (debrief_.open()) debrief_.Leave(Here());
}

void App::OpenCase(const std::string& given, ReviewChooser choose) {
  // It may be the open one's, which goes.
  const std::string folder = given;  // NOLINT(performance-unnecessary-copy-initialization)
  StartDesk();
  desk_->Open(folder, choose ? std::move(choose) : UsualReview(folder));
  if (sheet_.kind == SheetKind::kCases) sheet_.kind = UsualSheet(settings_);
}

void App::OpenRecordings(const std::vector<std::string>& paths) {
  StartDesk();
  bare_recordings_ = paths;
  std::vector<Reel::Source> sources;
  sources.reserve(paths.size());
  for (const std::string& path : paths)
    sources.push_back({path, [path]() -> Result<std::string> { return path; }});
  reel_.Open(sources);
  for (const std::string& path : paths) RememberPath(path);
  if (sheet_.kind == SheetKind::kCases) sheet_.kind = UsualSheet(settings_);
}

void App::OpenShelf(const std::string& folder) {
  RememberPath(folder);
  sheet_.kind = SheetKind::kCases;
  sheet_.folded = false;
  cases_.Open(folder);
}

void App::RememberPath(const std::string& path) {
  Remember(settings_, path);
  sheet_.cases.recent = settings_.recent;
}

// Once the recordings are open (or can't be), they are shown as a case that is not on disk yet.
void App::OfferBareRecordings() {
  if (bare_recordings_.empty() || !reel_.AllSettled()) return;
  std::vector<BareRecording> open;
  for (const Reel::Item& item : reel_.items())
    if (item.recording) open.push_back({item.name, item.recording});
  const bool all = open.size() == bare_recordings_.size();
  bare_recordings_.clear();
  if (!all) return;  // the picture's place says why
  desk_->ShowUnsaved(UnsavedRecord(open, steps_.list().id),
                     [open, steps = steps_.list().id] { return MakeCase(open, steps); });
}

// A case that has just been opened brings its recordings and its step list with it.
void App::FollowView() {
  steps_.Follow(*view_);
  if (view_->folder.empty() || view_->folder == opened_folder_) return;
  const bool was_bare = opened_folder_.empty() && !reel_.items().empty();
  opened_folder_ = view_->folder;
  sound_.Forget(view_->read_only ? std::string() : opened_folder_ + "/cache");
  if (was_bare) return;  // they are open already
  if (!view_->hidden) {
    RememberPath(opened_folder_);
    return OpenReel({});
  }
  // Nothing of the pictures is seen before it is known what of them is to be covered.
  case_jobs_.Start(
      "Looking for burnt-in words, to cover them",
      [folder = opened_folder_, record = view_->KeptRecord()](const Progress& progress,
                                                              const StopQuery& stop) {
        return BlindCovers(folder, record, progress, stop);
      },
      [this](Result<FoundCovers> found) {
        if (!found) return Say(found.error().message, true);
        if (!found->not_kept.empty())
          Say("Burnt-in words have to be looked for again each time. " + found->not_kept, true);
        OpenReel(std::move(found->covers));
      });
}

void App::OpenReel(std::vector<std::vector<CoverArea>> covers) {
  std::vector<Reel::Source> sources;
  const std::string cache = view_->read_only ? std::string() : view_->folder + "/cache";
  for (const RecordingRef& ref : view_->KeptRecord().recordings)
    sources.push_back(
        {ref.path, [folder = view_->folder, ref] { return LocateRecording(folder, ref); }, cache});
  reel_.Open(sources, std::move(covers));
  const FrameRef begin = CaseClock(view_->record.recordings).begin();
  player_.JumpTo(std::exchange(opens_at_, std::nullopt).value_or(begin), now_);
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
  if (action == "next case" || action == "previous case")
    OpenNeighbour(action == "next case" ? 1 : -1);
  else if (action == "make cases")
    cases_.MakeDayCases();
  else if (action == "take in" && view_->hidden)
    Say("New recordings are taken in by their names, which are hidden while a blinded review is open.", true);
  else if (action == "take in")
    cases_.ToggleDay();
  else
    return false;
  return true;
}

}  // namespace afterscope
