// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/key_list.hpp"

#include "app/desktop/look/widgets.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr float kColumn = 290;
constexpr float kLine = 25;
constexpr float kSide = 16;

// Keys of one action in a row of the list.
void DrawLine(const Look& look, const KeyMap::Line& line) {
  const Row row = BeginRow(look, line.action.c_str(), look.Px(kLine), false);
  RowText(look, row, row.from.x + look.Px(4), line.action, look.colours.text, look.fonts.body, look.Px(130));
  float x = row.from.x + look.Px(140);
  for (const std::string& key : line.keys)
    x += DrawKey(look, ImGui::GetWindowDrawList(), {x, row.from.y + look.Px(3)}, key) + look.Px(5);
}

}  // namespace

void DrawKeyList(const Scene& scene, const ScreenRect& picture) {
  const Look& look = scene.look;
  const auto lines = scene.keys.Lines();
  const float room = picture.Width() - look.Px(2 * kSide);
  const int columns = std::clamp(static_cast<int>(room / look.Px(kColumn)), 1, 3);
  const auto each =
      (lines.size() + static_cast<std::size_t>(columns) - 1) / static_cast<std::size_t>(columns);
  ImGui::SetNextWindowPos({picture.left + look.Px(kSide), picture.top + look.Px(kSide)});
  ImGui::SetNextWindowSize({room, std::min(picture.Height() - look.Px(2 * kSide),
                                           look.Px(kLine) * static_cast<float>(each) + look.Px(44))});
  ImGui::Begin("key list", nullptr,
               ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                   ImGuiWindowFlags_NoSavedSettings);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  Say(look, "Keys. Letters and digits start the steps, as they stand in the sheet of steps.",
      look.colours.quiet, look.fonts.small);
  ImGui::Columns(columns, "keys", false);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (i > 0 && i % each == 0) ImGui::NextColumn();
    DrawLine(look, lines[i]);
  }
  ImGui::Columns(1);
  ImGui::PopStyleVar();
  ImGui::End();
}

}  // namespace afterscope
