// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/look/look.hpp"

#include <string>

namespace afterscope {

// The few things that panels are made of. All lengths in pixels of the screen; text in any script.

// Text at the cursor, moving it on. wrap: broken at the right edge.
void Say(const Look& look, const std::string& text, Rgb colour, const ImFont* font, bool wrap = false);
void Say(const Look& look, const std::string& text);
void SayQuietly(const Look& look, const std::string& text);  // small, wrapped
void Heading(const Look& look, const std::string& text);
void ThinRule(const Look& look);

// A key as it stands on the keyboard, drawn at a place; returns its width. Arrows as signs.
float KeyWidth(const Look& look, const std::string& chord);
float DrawKey(const Look& look, ImDrawList* list, ImVec2 at, const std::string& chord);

// Text cut to a width with an ellipsis.
std::string Fitted(const Look& look, const ImFont* font, const std::string& text, float width);

// A row across the whole width that can be pressed. `left` draws inside at the row's place.
struct Row {
  bool pressed = false;
  bool hovered = false;  // the pointer lies on it, or the keys that go through a sheet stand there
  ImVec2 from, to;
};
Row BeginRow(const Look& look, const char* id, float height, bool chosen);
// Text in a row: from the left at x, or ending at x from the right; middle of the row's height.
void RowText(const Look& look, const Row& row, float x, const std::string& text, Rgb colour,
             const ImFont* font, float most_width = 0);
void RowTextRight(const Look& look, const Row& row, float x, const std::string& text, Rgb colour,
                  const ImFont* font);

// A quiet button of words.
bool WordButton(const Look& look, const std::string& text, bool chosen = false);
// The same with the key that does it drawn in it.
bool KeyedButton(const Look& look, const std::string& text, const std::string& key);

}  // namespace afterscope
