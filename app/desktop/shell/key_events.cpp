// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/shell/key_events.hpp"

#include <GLFW/glfw3.h>

namespace afterscope {
namespace {

bool GoesToAnotherField(int key) {
  return key == GLFW_KEY_TAB || key == GLFW_KEY_ENTER || key == GLFW_KEY_KP_ENTER || key == GLFW_KEY_UP ||
         key == GLFW_KEY_DOWN;
}

bool IsHeldWithOthers(int key) { return key >= GLFW_KEY_LEFT_SHIFT && key <= GLFW_KEY_RIGHT_SUPER; }

bool MayOpenField(const KeyEvent& event) {
  return (event.mods & (GLFW_MOD_CONTROL | GLFW_MOD_ALT)) != 0 && !IsHeldWithOthers(event.key);
}

}  // namespace

// The press in front typed a letter.
bool KeyEventQueue::NextTypes() const {
  return events_.size() > 1 && events_[1].kind == KeyEvent::Kind::kLetter;
}

bool KeyEventQueue::MustWait() const {
  return frames_to_wait_ > 0 && !IsHeldWithOthers(events_.front().key) &&
         (!only_letters_wait_ || NextTypes());
}

std::vector<KeyEvent> KeyEventQueue::TakeFrame(bool typing) {
  std::vector<KeyEvent> frame;
  bool pressed = false;
  bool only_letters = true;
  if (frames_to_wait_ > 0) --frames_to_wait_;
  while (!events_.empty()) {
    const KeyEvent event = events_.front();
    if (event.kind == KeyEvent::Kind::kButtonDown || event.kind == KeyEvent::Kind::kButtonUp) {
      if (!frame.empty()) break;
      events_.pop_front();
      return {event};
    }
    const bool goes_on = typing && only_letters;
    if (event.kind == KeyEvent::Kind::kPress) {
      if (MustWait()) break;
      if (pressed && !(goes_on && NextTypes())) break;
      only_letters = only_letters && NextTypes();
      pressed = true;
      const bool goes_to_field = typing && GoesToAnotherField(event.key);
      if (goes_to_field || MayOpenField(event)) {
        frames_to_wait_ = kFieldFrames;
        only_letters_wait_ = !goes_to_field;
      }
    }
    if (event.kind == KeyEvent::Kind::kRelease && pressed && !goes_on) break;
    frame.push_back(event);
    events_.pop_front();
  }
  return frame;
}

}  // namespace afterscope
