// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/score_sheet_file.hpp"
#include "app/desktop/app.hpp"
#include "app/desktop/sheets/work_sheets.hpp"

#include <filesystem>
#include <utility>

namespace afterscope {

SheetCalls App::CallsOfSheets() {
  return {
      jobs_,
      say_,
      [this](FrameRef at) {
        if (player_.playing()) player_.Pause(now_);
        player_.JumpTo(at, now_);
      },
      [this](CaseRequest request) {
        if (MakeScene().Editable())
          desk_->Push(std::move(request));
        else
          Say("This needs a recording or case that is open for writing.", true);
      },
      [this](SheetKind kind) {
        sheet_.kind = kind;
        sheet_.folded = false;
      },
      [this](const std::string& title, const std::string& hint, const std::string& text,
             std::function<void(const std::string&)> keep) { Ask(ask_, title, hint, text, std::move(keep)); },
      [this](PageMaker maker) { report_view_.Show(std::move(maker)); },
      shell_.wake,
      [this](const std::string& folder, std::optional<FrameRef> at) {
        OpenCase(folder);
        opens_at_ = at;
      },
      [this] { return CasesFolder(); }};
}

// The folder that was opened as cases, if this one is among them; else the one that this case lies in.
std::string App::CasesFolder() const {
  const std::string& shelf = sheet_.cases.shelf_folder;
  if (view_->folder.empty() || (!shelf.empty() && view_->folder.starts_with(shelf + "/"))) return shelf;
  return std::filesystem::path(view_->folder).parent_path().string();
}

// A sheet's own keys wait while the keys belong to something that lies over the picture.
bool App::SheetHasKeys() const {
  return !sheet_.folded && sheet_.kind >= SheetKind::kScores && !debrief_.open() && !compare_.choosing() &&
         !keys_shown_ && !step_keys_.renaming() && !step_keys_.other_hand() && picture_.tool == Tool::kNone;
}

bool App::DoWorks(const std::string& action) {
  if (SheetHasKeys() && works_->Do(sheet_.kind, action, MakeScene())) return true;
  return !debrief_.open() && works_->DoAnywhere(action, MakeScene());
}

// A sheet may show a picture of its own instead of the recording's.
bool App::PaintSheetPicture(int width, int height) {
  if (!works_->HasPicture() || debrief_.open()) return false;
  const Picture picture = works_->OwnPicture();
  if (picture.empty()) return true;
  painter_.SetClarity({});
  painter_.SetPicture(picture);
  ScreenRect area = picture_area_;
  area.bottom -= look_.Px(kPreviewLineHeight);
  painter_.Paint(PictureView().Placed(ShownPicture::Of(picture), area), area, width, height);
  return true;
}

// A form that somebody shared: a score sheet, else a step list.
void App::TakeForm(const std::string& path) {
  lasting_jobs_.Start(
      "", [path](const Progress&, const StopQuery&) { return LoadScoreSheetFile(path); },
      [this, path](const Result<ScoreSheet>& sheet) {
        sheet.ok() ? works_->scores().Take(*sheet) : steps_.TakeFrom(path, Here());
      });
}

void App::TakeNarration(const std::string& path) {
  if (!MakeScene().Editable())
    return Say("A narration belongs to a case: open its recording or its case first.", true);
  works_->drafts().TakeNarration(path, steps_.list());
}

}  // namespace afterscope
