// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/step_list_file.hpp"
#include "app/common/assets.hpp"
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
  jobs_.Start(
      "", [given](const Progress&, const StopQuery&) { return LookUp(given); },
      [this, alive = alive_](const Found& found) {
        if (!*alive) return;
        if (found.kind == PathKind::kCase) return OpenCase(found.paths[0]);
        if (found.kind == PathKind::kFolder) return OpenShelf(found.paths[0]);
        if (found.kind == PathKind::kMissing)
          return Say("There is no file or folder '" + found.paths[0] + "'.", true);
        if (found.paths.size() == 1 && found.paths[0].ends_with(".json")) return TakeForm(found.paths[0]);
        if (found.paths.size() == 1 && LooksLikeNarration(found.paths[0]))
          return TakeNarration(found.paths[0]);
        found.known_case.empty() ? OpenRecordings(found.paths) : OpenCase(found.known_case);
      });
}

void App::StartDesk() {
  ++generation_;
  desk_.reset();
  const auto later = [this, alive = alive_](auto call) {
    jobs_.Post([alive, call] {
      if (*alive) call();
    });
  };
  CaseDesk::Listener listener;
  listener.changed = shell_.wake;
  listener.said = [this, later](const std::string& text) { later([this, text] { Say(text, false); }); };
  listener.failed = [this, later](const std::string& text) { later([this, text] { Say(text, true); }); };
  desk_ = std::make_unique<CaseDesk>(std::move(listener));
  view_ = std::make_shared<CaseView>();
  opened_folder_.clear();
  bare_recordings_.clear();
  player_.Pause(now_);
  reel_.Open({});
  small_.Forget();
  sound_levels_.Forget({});
  ForgetPicture(picture_);
  fair_.Forget();
  was_hidden_ = false;
  choice_ = {};
  compare_.Close();
  chooser_ = {};
  if (debrief_.open) LeaveDebrief();
  note_.kind.reset();
  ask_ = {};
  renaming_.reset();
  other_hand_ = false;
  copied_marks_.clear();
  quiet_revision_ = 0;
  timeline_.quiet.clear();
  sheet_.cases.typed.clear();
  sheet_.findings.typed.clear();
  sheet_.findings.findings.clear();
  sheet_.findings.revision = 0;
  sheet_.findings.shown_revision = 0;
  sheet_.findings.report_path.clear();
  works_->Forget();
  opens_at_.reset();
}

void App::OpenCase(const std::string& given, ReviewChooser choose) {
  const std::string folder = given;  // it may be the open one's, which goes
  StartDesk();
  desk_->Open(folder, choose ? std::move(choose) : UsualReview(folder));
  if (sheet_.kind == SheetKind::kCases) sheet_.kind = SheetKind::kSteps;
}

void App::OpenRecordings(const std::vector<std::string>& paths) {
  StartDesk();
  bare_recordings_ = paths;
  std::vector<Reel::Source> sources;
  for (const std::string& path : paths)
    sources.push_back({path, [path]() -> Result<std::string> { return path; }});
  reel_.Open(sources);
  for (const std::string& path : paths) Remember(settings_, path);
  sheet_.cases.recent = settings_.recent;
  if (sheet_.kind == SheetKind::kCases) sheet_.kind = SheetKind::kSteps;
}

void App::OpenShelf(const std::string& folder) {
  Remember(settings_, folder);
  sheet_.cases.recent = settings_.recent;
  sheet_.cases.shelf.clear();
  sheet_.kind = SheetKind::kCases;
  sheet_.folded = false;
  LookForCases(folder);
  LookForRecordings(folder);
}

void App::LookForCases(const std::string& folder) {
  sheet_.cases.shelf_folder = folder;
  sheet_.cases.shelf_loading = true;
  jobs_.Start(
      "Looking for cases",
      [folder](const Progress&, const StopQuery& stop) { return FindCases(folder, stop); },
      [this, alive = alive_, folder](std::vector<ShelfCase> found) {
        if (!*alive || sheet_.cases.shelf_folder != folder) return;
        sheet_.cases.shelf = std::move(found);
        sheet_.cases.shelf_loading = false;
        OfferDay();
      });
}

// Once the recordings are open (or can't be), they are shown as a case that is not on disk yet.
void App::OfferBareRecordings() {
  if (bare_recordings_.empty() || !reel_.AllSettled() || !desk_) return;
  std::vector<BareRecording> open;
  for (const Reel::Item& item : reel_.items())
    if (item.recording) open.push_back({item.name, item.recording});
  const bool all = open.size() == bare_recordings_.size();
  bare_recordings_.clear();
  if (!all) return;  // the picture's place says why
  desk_->ShowUnsaved(UnsavedRecord(open, steps_.id),
                     [open, steps = steps_.id] { return MakeCase(open, steps); });
}

// A case that has just been opened brings its recordings and its step list with it.
void App::FollowView() {
  if (view_->record.step_list != steps_of_) LoadSteps();
  if (view_->folder.empty() || view_->folder == opened_folder_) return;
  const bool was_bare = opened_folder_.empty() && !reel_.items().empty();
  opened_folder_ = view_->folder;
  sound_levels_.Forget(opened_folder_ + "/cache");
  LoadSteps();
  if (was_bare) return;  // they are open already
  if (!view_->hidden) {
    Remember(settings_, opened_folder_);
    sheet_.cases.recent = settings_.recent;
    return OpenReel({});
  }
  // Nothing of the pictures is seen before it is known what of them is to be covered.
  jobs_.Start(
      "Looking for burnt-in words, to cover them",
      [folder = opened_folder_, record = view_->KeptRecord()](const Progress& progress,
                                                              const StopQuery& stop) {
        return BlindCovers(folder, record, progress, stop);
      },
      [this, alive = alive_, generation = generation_](Result<std::vector<std::vector<CoverArea>>> covers) {
        if (!*alive || generation != generation_) return;
        if (!covers) return Say(covers.error().message, true);
        OpenReel(std::move(covers).value());
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

// A case may bring a list of its own, in its folder.
void App::LoadSteps() {
  steps_of_ = view_->record.step_list;
  jobs_.Start(
      "",
      [record = view_->record, folder = view_->folder](const Progress&, const StopQuery&) {
        return LoadStepList(record, folder, AssetsFolder());
      },
      [this, alive = alive_, generation = generation_](Result<StepList> steps) {
        if (!*alive || generation != generation_) return;
        if (steps)
          steps_ = std::move(steps).value();
        else
          Say(steps.error().message, true);
      });
}

void App::FollowBrowser() {
  CasesState& cases = sheet_.cases;
  if (cases.wanted_folder.empty() || cases.listing_loading) return;
  cases.listing_loading = true;
  jobs_.Start(
      "",
      [folder = std::exchange(cases.wanted_folder, {})](const Progress&, const StopQuery&) {
        return ListFolder(folder);
      },
      [this, alive = alive_](FolderListing listing) {
        if (!*alive) return;
        sheet_.cases.listing = std::move(listing);
        sheet_.cases.listing_loading = false;
      });
}

}  // namespace afterscope
