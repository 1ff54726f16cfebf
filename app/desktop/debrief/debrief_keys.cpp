// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/debrief/debrief_keys.hpp"

namespace afterscope {

bool DebriefKeys::Do(const std::string& action, const ActionScene& on) {
  if (action == "debrief")
    state_.open ? Leave(on) : Open(on);
  else if (action == "next moment" || action == "previous moment")
    GoTo(action == "next moment" ? 1 : -1, on);
  else if (action == "leave" && state_.open)
    Leave(on);
  else
    return false;
  return true;
}

std::optional<PlayPlan> DebriefKeys::Plan(const Review& review, const CaseClock& clock) const {
  const auto moments = DebriefMoments(review);
  const auto place = PlaceOf(moments, state_.at);
  if (!state_.open || !place) return std::nullopt;
  return DebriefPlan(*moments[*place], clock);
}

void DebriefKeys::GoTo(int direction, const ActionScene& on) {
  const auto moments = DebriefMoments(on.scene.view.review);
  const Moment* next = state_.open ? NextMoment(moments, state_.at, direction)
                                   : MomentBeside(moments, on.player.playhead(), direction);
  if (next == nullptr) {
    if (!state_.open)
      on.say(direction > 0 ? "There is no moment after this" : "There is no moment before this", false);
    return;
  }
  state_.at = next->id;
  window_.hear(next->id);  // where it was spoken
  if (!state_.open) return on.JumpTo(next->at);
  const PlayPlan plan = DebriefPlan(*next, on.scene.clock);
  const FrameRef start = plan.stretches.front().start;
  on.player.SetPlan(plan);
  on.JumpTo(start);
  if (!on.player.playing()) on.player.TogglePlay(on.scene.now);
}

void DebriefKeys::Open(const ActionScene& on) {
  state_ = {true, std::nullopt, IsFullScreen()};
  if (!state_.was_full_screen) window_.toggle_full_screen();
  GoTo(1, on);
}

void DebriefKeys::Leave(const ActionScene& on) {
  if (IsFullScreen() && !state_.was_full_screen) window_.toggle_full_screen();
  state_.open = false;
  on.player.Pause(on.scene.now);
}

}  // namespace afterscope
