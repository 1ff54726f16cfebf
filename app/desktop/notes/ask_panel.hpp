// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/scene.hpp"

#include <functional>
#include <string>
#include <vector>

namespace afterscope {

// One line of words that is asked for over the lower edge of the picture: kept by Enter, left by Escape.
struct AskState {
  std::string title;  // empty: nothing is asked
  std::string hint;
  std::string text;
  std::vector<std::string> offers;  // to press instead of typing
  std::function<void(const std::string&)> keep;
  bool wants_focus = false;
  bool just_opened = false;
  bool keep_now = false;      // as if Enter had been pressed: nothing that was typed is lost
  bool irreversible = false;  // what it asks can't be taken back: only Enter itself does it

  bool open() const { return !title.empty(); }
};

void Ask(AskState& state, std::string title, std::string hint, std::string text,
         std::function<void(const std::string&)> keep);
void DrawAsk(AskState& state, const Scene& scene, const ScreenRect& picture);

}  // namespace afterscope
