// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <deque>
#include <vector>

namespace afterscope {

// What the keyboard and the mouse's buttons did, in order.
struct KeyEvent {
  enum class Kind { kPress, kRelease, kLetter, kButtonDown, kButtonUp };
  Kind kind = Kind::kPress;
  int key = 0;  // GLFW's, of a press or release (a held key presses again and again); or the button
  int scancode = 0;
  int mods = 0;
  unsigned letter = 0;  // code point that was typed
  float x = 0;          // where the pointer was, of a button
  float y = 0;
};

// Hands events on so that none is lost when several fall into one frame: ImGui looks at keys once a
// frame, a key that went down and up in between it would never see. Pure.
class KeyEventQueue {
 public:
  void Push(const KeyEvent& event) { events_.push_back(event); }
  bool empty() const { return events_.empty(); }
  // What belongs to the next frame: one button going down or up; or releases, then one press with the letters
  // it typed (a release after it waits: Ctrl is down while the key is that it belongs to); while text is
  // typed, as many presses as typed letters, up to one that did not. Where that one goes to another field
  // (Tab, Enter, Up, Down), what is pressed after it comes kFieldFrames frames later, and so do letters after
  // a key with Ctrl or Alt, which may have opened a field: it takes letters only once it was drawn.
  std::vector<KeyEvent> TakeFrame(bool typing);
  static constexpr int kFieldFrames = 3;

 private:
  bool NextTypes() const;
  bool MustWait() const;

  std::deque<KeyEvent> events_;
  int frames_to_wait_ = 0;
  bool only_letters_wait_ = false;
};

}  // namespace afterscope
