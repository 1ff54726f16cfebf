// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/gl/texture.hpp"

#include <imgui.h>

#include <list>
#include <map>
#include <string>
#include <string_view>

namespace afterscope {

// Whether the window's own fonts set this text right: letters that stand side by side from left to right.
// False for scripts that need shaping (Hebrew, Arabic, the Indic scripts, Thai ...), for combining marks, CJK
// and emoji.
bool IsPlainScript(std::string_view utf8);

// Draws the user's text in any script: with ImGui where that is right, else as a texture set by Pango. Keeps
// the last few hundred textures. Its context must be current, always.
class ScriptText {
 public:
  explicit ScriptText(const GlApi& gl) : gl_(gl) {}

  ImVec2 Size(const ImFont* font, const std::string& text, float wrap_px = 0);
  // wrap_px: breaks lines there; 0: one line.
  void Draw(ImDrawList* list, const ImFont* font, ImVec2 at, ImU32 colour, const std::string& text,
            float wrap_px = 0);
  void Forget();  // after a change of size

 private:
  struct Key {
    std::string text;
    int size = 0;
    int wrap = 0;
    friend auto operator<=>(const Key&, const Key&) = default;
  };
  struct Entry {
    Texture texture;
    std::list<Key>::iterator age;
  };
  const Texture& TextureOf(const ImFont* font, const std::string& text, float wrap_px);

  const GlApi& gl_;
  std::map<Key, Entry> entries_;
  std::list<Key> ages_;  // the oldest in front
};

}  // namespace afterscope
