// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/plate.hpp"

#include "app/desktop/look/palette.hpp"

#include <algorithm>

namespace afterscope {

void PaintPlate(const Look& look, ImDrawList* list, const ScreenRect& area, const std::string& words) {
  const float room = std::max(look.Px(60), area.Width() - look.Px(44));
  const ImVec2 size = look.script->Size(look.fonts.body, words, room);
  const ImVec2 from{area.left + look.Px(12), area.top + look.Px(10)};
  list->AddRectFilled(from, {from.x + size.x + look.Px(20), from.y + size.y + look.Px(10)},
                      Ink(look.colours.sheet, 0.88), look.Px(4));
  look.script->Draw(list, look.fonts.body, {from.x + look.Px(10), from.y + look.Px(5)},
                    Ink(look.colours.text), words, room);
}

}  // namespace afterscope
