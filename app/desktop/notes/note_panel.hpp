// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "app/desktop/desk/settings_form.hpp"
#include "app/desktop/desk/word_list.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/scene.hpp"

#include <map>
#include <optional>
#include <string>

namespace afterscope {

// A moment that is being noted or changed: opened by one key, kept by Enter, left by Escape.
struct NoteState {
  std::optional<MomentKind> kind;   // empty: nothing is being noted
  std::optional<MomentId> changed;  // the moment that is being changed; empty: a new one
  FrameRef at;
  std::string text;
  std::map<std::string, std::string> fields;
  int chosen = 0;  // line of the list of complications or checks
  CheckState check = CheckState::kSeenDone;
  std::string filled_from;  // the preset whose earlier settings were filled in
  bool wants_focus = false;
  bool just_opened = false;
  bool keep_now = false;  // as if Enter had been pressed: nothing that was typed is lost
  WordList complications;
  WordList complication_fields;
  SettingsForm settings;
};

void OpenNote(NoteState& state, MomentKind kind, FrameRef at);
// A moment that is there, to be changed.
void ChangeNote(NoteState& state, const Moment& moment, const StepList& steps);

// A strip over the lower edge of the picture.
void DrawNote(NoteState& state, const Scene& scene, EditQueue& edits, const ScreenRect& picture);

}  // namespace afterscope
