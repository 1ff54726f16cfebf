// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/action_scene.hpp"
#include "app/desktop/debrief/debrief.hpp"

#include <functional>
#include <string>

namespace afterscope {

// What keys do to go from moment to moment, in the window and talking the case over on the full screen. One
// thread.
class DebriefKeys {
 public:
  struct Window {
    std::function<void()> toggle_full_screen;
    std::function<bool()> is_full_screen;  // may be empty: never
    std::function<void(const MomentId&)> hear;
  };
  explicit DebriefKeys(Window window) : window_(std::move(window)) {}

  bool open() const { return state_.open; }
  const DebriefState& state() const { return state_; }
  // An action of the key map. False: not one of these.
  bool Do(const std::string& action, const ActionScene& on);
  // What is played while it is open: the stretch round the moment. Empty where it is not open.
  std::optional<PlayPlan> Plan(const Review& review, const CaseClock& clock) const;
  void Leave(const ActionScene& on);

 private:
  void Open(const ActionScene& on);
  void GoTo(int direction, const ActionScene& on);
  bool IsFullScreen() const { return window_.is_full_screen && window_.is_full_screen(); }

  Window window_;
  DebriefState state_;
};

}  // namespace afterscope
