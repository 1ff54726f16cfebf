// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/shell/key_events.hpp"

namespace afterscope {

std::vector<KeyEvent> KeyEventQueue::TakeFrame() {
  std::vector<KeyEvent> frame;
  std::optional<int> pressed;
  while (!events_.empty()) {
    const KeyEvent& event = events_.front();
    if (event.kind == KeyEvent::Kind::kPress && pressed) break;
    if (event.kind == KeyEvent::Kind::kRelease && event.key == pressed) break;
    if (event.kind == KeyEvent::Kind::kPress) pressed = event.key;
    frame.push_back(event);
    events_.pop_front();
  }
  return frame;
}

}  // namespace afterscope
