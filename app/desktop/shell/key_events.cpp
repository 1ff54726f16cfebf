// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/shell/key_events.hpp"

namespace afterscope {

// The press in front typed a letter.
bool KeyEventQueue::NextTypes() const {
  return events_.size() > 1 && events_[1].kind == KeyEvent::Kind::kLetter;
}

std::vector<KeyEvent> KeyEventQueue::TakeFrame(bool typing) {
  std::vector<KeyEvent> frame;
  bool pressed = false;
  bool only_letters = true;
  while (!events_.empty()) {
    const KeyEvent event = events_.front();
    if (event.kind == KeyEvent::Kind::kButtonDown || event.kind == KeyEvent::Kind::kButtonUp) {
      if (!frame.empty()) break;
      events_.pop_front();
      return {event};
    }
    const bool goes_on = typing && only_letters;
    if (event.kind == KeyEvent::Kind::kPress) {
      if (pressed && !(goes_on && NextTypes())) break;
      only_letters = only_letters && NextTypes();
      pressed = true;
    }
    if (event.kind == KeyEvent::Kind::kRelease && pressed && !goes_on) break;
    frame.push_back(event);
    events_.pop_front();
  }
  return frame;
}

}  // namespace afterscope
