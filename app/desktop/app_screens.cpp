// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"
#include "app/desktop/debrief/debrief_panel.hpp"
#include "app/desktop/key_list.hpp"
#include "app/desktop/look/part.hpp"

namespace afterscope {

bool App::DoScreens(const std::string& action) {
  if (action == "debrief") {
    debrief_.open ? LeaveDebrief() : OpenDebrief();
    return true;
  }
  if (action == "next moment" || action == "previous moment") {
    GoToMoment(action == "next moment" ? 1 : -1);
    return true;
  }
  if (action == "leave" && debrief_.open) {
    LeaveDebrief();
    return true;
  }
  const std::string told = DoPlayChoice(choice_, action, view_->review, steps_, clock_, player_.playhead());
  if (told.empty()) return false;
  Say(told, false);
  return true;
}

// What is played follows the review: a boundary that is moved moves the loop's end with it.
void App::FollowPlan() {
  const auto moments = DebriefMoments(view_->review);
  const auto place = PlaceOf(moments, debrief_.at);
  player_.SetPlan(debrief_.open && place ? DebriefPlan(*moments[*place], clock_)
                                         : PlanOf(choice_, view_->review, clock_.end()));
}

void App::GoToMoment(int direction) {
  const auto moments = DebriefMoments(view_->review);
  const Moment* next = debrief_.open ? NextMoment(moments, debrief_.at, direction)
                                     : MomentBeside(moments, player_.playhead(), direction);
  if (next == nullptr) {
    if (!debrief_.open)
      Say(direction > 0 ? "There is no moment after this" : "There is no moment before this", false);
    return;
  }
  debrief_.at = next->id;
  Hear(next->id);  // where it was spoken
  if (!debrief_.open) return player_.JumpTo(next->at, now_);
  FollowPlan();
  player_.JumpTo(DebriefPlan(*next, clock_).stretches.front().start, now_);
  if (!player_.playing()) player_.TogglePlay(now_);
}

void App::OpenDebrief() {
  debrief_ = {true, std::nullopt, shell_.is_full_screen && shell_.is_full_screen()};
  if (!debrief_.was_full_screen) shell_.toggle_full_screen();
  picture_.tool = Tool::kNone;
  GoToMoment(1);
}

void App::LeaveDebrief() {
  const bool full = shell_.is_full_screen && shell_.is_full_screen();
  if (full && !debrief_.was_full_screen) shell_.toggle_full_screen();
  debrief_.open = false;
  player_.Pause(now_);
}

void App::DrawDebriefScreen(const Scene& scene, float width, float height) {
  const float bottom = height - std::round(look_.Px(kBottomLineHeight));
  const float words = bottom - DebriefHeight(scene, note_.complications, width, height);
  picture_area_ = {0, 0, width, words};
  BeginPart("picture part", picture_area_, false, false);
  DrawPicture(picture_, scene, *desk_, painter_, picture_area_);
  ImGui::End();
  BeginPart("below", {0, words, width, height}, true, false);
  DrawDebrief(debrief_, scene, note_.complications, {0, words, width, bottom});
  DrawBottomLine(scene, Typing() ? HintsFor(scene, picture_, KeysAreFor()) : DebriefHints(scene), said_,
                 jobs_.Shown(), {0, bottom, width, height});
  ImGui::End();
  if (keys_shown_) DrawKeyList(scene, {0, 0, width, bottom});
  DrawNote(note_, scene, *desk_, picture_area_);
  DrawAsk(ask_, scene, picture_area_);
}

}  // namespace afterscope
