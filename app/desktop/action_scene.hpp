// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/desk/case_desk.hpp"
#include "app/desktop/notes/ask_panel.hpp"
#include "app/desktop/player/player.hpp"
#include "app/desktop/scene.hpp"

#include <functional>
#include <string>

namespace afterscope {

// One sentence for the bottom line; a failure stays longer.
using SayCall = std::function<void(const std::string& text, bool failure)>;

// What carrying out an action of the key map works with: what is seen now, and what it may change. Made anew
// for each action; `desk`, `player`, `ask` and `say` hold as long as the case is open.
struct ActionScene {
  Scene scene;
  CaseDesk& desk;
  Player& player;
  AskState& ask;
  const SayCall& say;

  // What the user has before her eyes, which while it plays may be behind the playhead.
  FrameRef SeenFrame() const {
    const bool seen = player.playing() && !player.shown().empty() && !player.stands_in();
    return seen ? player.shown().frame : player.playhead();
  }
  void Pause() const {
    if (player.playing()) player.Pause(scene.now);
  }
  void JumpTo(FrameRef at) const { player.JumpTo(at, scene.now); }
};

}  // namespace afterscope
