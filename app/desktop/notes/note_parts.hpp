// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/notes/note_panel.hpp"

namespace afterscope {

// What the kinds of notes are made of. `enter`: the note is to be kept now.

void DrawWordsNote(NoteState& state, const Scene& scene, EditQueue& edits, bool enter);
void DrawComplicationNote(NoteState& state, const Scene& scene, EditQueue& edits, bool enter);
void DrawSettingsNote(NoteState& state, const Scene& scene, EditQueue& edits, bool enter);
void DrawCheckNote(NoteState& state, const Scene& scene, EditQueue& edits, bool enter);

// One line of input; takes the focus when the note opens.
void NoteInput(NoteState& state, const char* id, const std::string& hint, std::string& text, float width);
// The same after quiet words, as wide as given in all; goes to the next line where there is no room.
void NamedInput(NoteState& state, const Look& look, const std::string& name, const std::string& hint,
                std::string& text, float width);
// Lines to choose from with the arrow keys or the mouse.
std::optional<WordList::Item> ChooseFrom(NoteState& state, const Look& look,
                                         const std::vector<WordList::Item>& items);
// Commits the moment with the place and kind of the note, and closes it.
void KeepNote(NoteState& state, EditQueue& edits, Moment moment);

}  // namespace afterscope
