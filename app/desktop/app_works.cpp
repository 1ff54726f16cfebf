// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"

#include <utility>

namespace afterscope {

SheetCalls App::CallsOfSheets() {
  return {jobs_, [this](const std::string& text, bool failure) { Say(text, failure); },
          [this](FrameRef at) {
            if (player_.playing()) player_.Pause(now_);
            player_.JumpTo(at, now_);
          },
          [this](CaseRequest request) {
            if (desk_ && MakeScene().Editable())
              desk_->Push(std::move(request));
            else
              Say("This needs a recording or case that is open for writing.", true);
          },
          [this](SheetKind kind) {
            sheet_.kind = kind;
            sheet_.folded = false;
          }};
}

// A sheet's own keys wait while the keys belong to something that lies over the picture.
bool App::SheetHasKeys() const {
  return !sheet_.folded && sheet_.kind >= SheetKind::kScores && !debrief_.open && !chooser_.open &&
         !keys_shown_ && !renaming_ && !other_hand_ && picture_.tool == Tool::kNone;
}

bool App::DoWorks(const std::string& action) {
  return SheetHasKeys() && works_.Do(sheet_.kind, action, MakeScene());
}

void App::TakeNarration(const std::string& path) {
  if (!MakeScene().Editable())
    return Say("A narration belongs to a case: open its recording or its case first.", true);
  works_.drafts().TakeNarration(path, steps_);
}

}  // namespace afterscope
