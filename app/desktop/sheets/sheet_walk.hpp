// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/bottom_line.hpp"
#include "app/desktop/key_map.hpp"

#include <vector>

namespace afterscope {

// Going through the open sheet by keys, so that each of its rows, buttons and fields can be reached without
// the mouse: arrows and Tab go from one to the next, Enter or Space presses, Escape goes back to the
// recording. A press of the mouse ends it too. One thread.
class SheetWalk {
 public:
  bool on() const { return on_; }
  void Start();
  void End() { on_ = false; }
  // Whether the key belongs to it; Escape ends it. Not asked while a field is typed in.
  bool Takes(const KeyChord& chord);
  // Once a frame before ImGui's begins.
  void Follow(bool possible);
  // Just before the sheet's window begins.
  void BeforeSheet();
  std::vector<KeyHint> Hints() const;

 private:
  bool on_ = false;
  bool wants_focus_ = false;
  bool enter_down_ = false;  // and told to ImGui as Space
};

}  // namespace afterscope
