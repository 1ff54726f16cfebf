// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"
#include "app/desktop/follow/tip_map_walk.hpp"
#include "app/desktop/notes/note_keys.hpp"
#include "app/desktop/timeline/boundaries.hpp"

#include <array>

namespace afterscope {

void App::Do(const std::string& action) {
  if (said_.failure) said_.until = std::min(said_.until, now_ + 2);
  if (keys_shown_ && action == "leave") {
    keys_shown_ = false;
    return;
  }
  if (DoCompare(action) || report_view_.Do(action) || DoWorks(action)) return;
  const ActionScene here = Here();
  if (DoDebrief(action, here) || DoChoice(action) || DoPlayer(action) || sound_.Do(action, here) ||
      step_keys_.Do(action, here, about_) || DoNote(note_, action, here) || outline_keys_.Do(action, here) ||
      mark_keys_.Do(action, here) || follow_.Do(action, here) ||
      DoTipMap(action, sheet_.findings.tip_maps, picture_, here) || DoCases(action) || DoFair(action) ||
      DoSheet(action) || DoFields(action))
    return;
  action == "leave" ? Leave() : static_cast<void>(DoLook(action));
}

// Cases beside each other have all keys while they are open.
bool App::DoCompare(const std::string& action) {
  const bool was_open = compare_.open();
  if (compare_.Do(action)) return true;
  if (was_open) DoLook(action);
  return was_open;
}

bool App::DoDebrief(const std::string& action, const ActionScene& here) {
  if (!debrief_.Do(action, here)) return false;
  if (debrief_.open()) mark_keys_.Leave();
  return true;
}

void App::Leave() {
  step_keys_.Leave();
  mark_keys_.Leave();
}

void App::TakeFollowed(const char* line) {
  findings_.Renew();
  quiet_lines_.Renew();
  timeline_.quiet_name = line;
}

bool App::DoChoice(const std::string& action) {
  const std::string told =
      DoPlayChoice(choice_, action, view_->review, steps_.list(), clock_, player_.playhead());
  if (!told.empty()) Say(told, false);
  return !told.empty();
}

bool App::DoPlayer(const std::string& action) {
  if (action == "play")
    player_.TogglePlay(now_);
  else if (action == "play backwards")
    player_.TogglePlayBackwards(now_);
  else if (action == "next frame")
    player_.StepBy(1, now_);
  else if (action == "previous frame")
    player_.StepBy(-1, now_);
  else if (action == "ten frames on")
    player_.StepBy(10, now_);
  else if (action == "ten frames back")
    player_.StepBy(-10, now_);
  else if (action == "first frame")
    player_.JumpTo(clock_.begin(), now_);
  else if (action == "last frame")
    player_.JumpTo(StepFrames(tables_, clock_.end(), 0), now_);
  else if (action == "next boundary")
    JumpBoundary(1);
  else if (action == "previous boundary")
    JumpBoundary(-1);
  else if (action == "faster")
    player_.Faster(now_);
  else if (action == "slower")
    player_.Slower(now_);
  else
    return false;
  return true;
}

void App::JumpBoundary(int direction) {
  const auto to = NextBoundary(view_->review, player_.playhead(), direction);
  if (to)
    player_.JumpTo(*to, now_);
  else
    Say(direction > 0 ? "There is no boundary after this frame." : "There is no boundary before this frame.",
        false);
}

bool App::DoSheet(const std::string& action) {
  constexpr std::array<std::pair<const char*, SheetKind>, 9> kSheets{
      {{"sheet cases", SheetKind::kCases},
       {"sheet steps", SheetKind::kSteps},
       {"sheet marks", SheetKind::kMarks},
       {"sheet findings", SheetKind::kFindings},
       {"sheet scores", SheetKind::kScores},
       {"sheet clips", SheetKind::kClips},
       {"sheet series", SheetKind::kSeries},
       {"sheet drafts", SheetKind::kDrafts},
       {"sheet review", SheetKind::kReview}}};
  for (const auto& [word, kind] : kSheets) {
    if (action != word) continue;
    sheet_.folded = sheet_.kind == kind && !sheet_.folded;
    sheet_.kind = kind;
    return true;
  }
  if (action == "fold sheet")
    sheet_.folded = !sheet_.folded;
  else if (action == "report")
    findings_.StartReport(view_, say_);
  else if (action == "open")
    OpenBrowser();
  else
    return false;
  return true;
}

void App::OpenBrowser() {
  CasesState& cases = sheet_.cases;
  cases.browsing = !(cases.browsing && sheet_.kind == SheetKind::kCases && !sheet_.folded);
  sheet_.kind = SheetKind::kCases;
  sheet_.folded = false;
  if (!cases.browsing) return;
  cases_.BrowseFromHome();
  walk_.Start();
}

// What opens fields of a sheet, and what goes through the sheet by keys.
bool App::DoFields(const std::string& action) {
  const auto show = [this](SheetKind kind, bool& open) {
    open = !(open && sheet_.kind == kind && !sheet_.folded);
    sheet_.kind = kind;
    sheet_.folded = false;
    return open;
  };
  if (action == "report words")
    sheet_.findings.words_wanted = show(SheetKind::kFindings, sheet_.findings.words_open);
  else if (action == "case fields")
    sheet_.cases.fields_wanted = show(SheetKind::kCases, sheet_.cases.fields_open);
  else if (action == "change step list")
    show(SheetKind::kSteps, sheet_.steps.editing);
  else if (action == "walk sheet") {
    sheet_.folded = false;
    walk_.Start();
  } else if (action == "put point") {
    if (!PutPoint(picture_, MakeScene(), *desk_, picture_area_))
      Say("Take up a tool first: a point is put with it on the picture that is shown.", false);
    CarryOut();
  } else if (action == "mark shaft") {
    if (!PutShaft(picture_, MakeScene(), *desk_, picture_area_))
      Say("A shaft can be marked on a picture that is shown, beside a tip that is set on it.", false);
    CarryOut();
  } else if (action == "stop work") {
    const auto works = Works();
    if (works.empty()) Say("Nothing is being worked on.", false);
    if (!works.empty()) works.front()->Stop();
  } else {
    return false;
  }
  return true;
}

bool App::DoLook(const std::string& action) {
  if (DoPictureLook(picture_.look, action)) return true;
  const ShownPicture shown = ShownPicture::Of(player_.shown());
  const float x = (picture_area_.left + picture_area_.right) / 2;
  const float y = (picture_area_.top + picture_area_.bottom) / 2;
  if (action == "fit")
    picture_.view.Fit();
  else if (action == "zoom in")
    picture_.view.ZoomAt(1.5, x, y, shown, picture_area_);
  else if (action == "zoom out")
    picture_.view.ZoomAt(1 / 1.5, x, y, shown, picture_area_);
  else if (DoPan(picture_.view, action, shown, picture_area_))
    return true;
  else if (action == "longer strip" || action == "shorter strip")
    timeline_.span_s = NextSpan(timeline_.span_s, action == "longer strip");
  else if (action == "drawings")
    picture_.drawings = !picture_.drawings;
  else if (action == "wider sheet" || action == "narrower sheet")
    settings_.sheet_width = SheetWidthInRange(settings_.sheet_width + (action == "wider sheet" ? 40 : -40));
  else if (action == "quiet line")
    quiet_lines_.Next(say_);
  else if (action == "key list")
    keys_shown_ = !keys_shown_;
  else if (action == "full screen")
    shell_.toggle_full_screen();
  else if (action == "light") {
    look_.colours = look_.colours.light ? DarkPalette() : LightPalette();
    look_changed_ = true;
  } else if (action == "larger" || action == "smaller") {
    settings_.scale_pct = std::clamp(settings_.scale_pct + (action == "larger" ? 10 : -10), 90, 200);
    look_.unit = static_cast<float>(settings_.scale_pct) / 100;
    look_changed_ = true;
  } else {
    return false;
  }
  return true;
}

}  // namespace afterscope
