// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "app/desktop/desk/word_list.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/scene.hpp"

#include <map>
#include <optional>
#include <string>

namespace afterscope {

// A moment that is being noted: opened by one key, kept by Enter, left by Escape.
struct NoteState {
  std::optional<MomentKind> kind;  // empty: nothing is being noted
  FrameRef at;
  std::string text;
  std::map<std::string, std::string> fields;
  int chosen = 0;  // line of the list of complications or checks
  CheckState check = CheckState::kSeenDone;
  bool wants_focus = false;
  bool just_opened = false;
  WordList complications;
  WordList settings;
};

void OpenNote(NoteState& state, MomentKind kind, FrameRef at);

// A strip over the lower edge of the picture.
void DrawNote(NoteState& state, const Scene& scene, EditQueue& edits, const ScreenRect& picture);

}  // namespace afterscope
