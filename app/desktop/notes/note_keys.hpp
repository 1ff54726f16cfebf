// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/action_scene.hpp"
#include "app/desktop/notes/note_panel.hpp"

#include <string>

namespace afterscope {

// What keys do to moments: begin a note of a kind at the frame that is seen, change or remove the moment on
// the frame that is shown. False: not such an action.
bool DoNote(NoteState& note, const std::string& action, const ActionScene& on);

// Opens a moment for being changed; nothing where it is gone or the case can't be changed.
void ChangeMoment(NoteState& note, const MomentId& id, const ActionScene& on);

}  // namespace afterscope
