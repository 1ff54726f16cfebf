// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/key_list.hpp"

#include "app/desktop/desk/view_settings.hpp"
#include "app/desktop/look/widgets.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr float kColumn = 290;
constexpr float kLine = 25;
constexpr float kSide = 16;

// Keys of one action in a row of the list, under its heading where it has one.
void DrawLine(const Look& look, const KeyMap::Line& line, float width) {
  if (!line.heading.empty()) {
    const Row heading = BeginRow(look, ("heading " + line.heading).c_str(), look.Px(kLine), false);
    RowText(look, heading, heading.from.x + look.Px(4), line.heading, look.colours.text, look.fonts.strong);
  }
  const Row row = BeginRow(look, line.action.c_str(), look.Px(kLine), false);
  float keys = 0;
  for (const std::string& key : line.keys) keys += KeyWidth(look, key) + look.Px(5);
  const float x_keys = std::max(row.from.x + look.Px(140), row.from.x + width - keys - look.Px(14));
  RowText(look, row, row.from.x + look.Px(4), line.action, look.colours.text, look.fonts.body,
          x_keys - row.from.x - look.Px(8));
  float x = x_keys;
  for (const std::string& key : line.keys)
    x += DrawKey(look, ImGui::GetWindowDrawList(), {x, row.from.y + look.Px(3)}, key) + look.Px(5);
}

// How many rows a stretch of the list takes.
std::size_t RowsOf(const std::vector<KeyMap::Line>& lines) {
  std::size_t rows = lines.size();
  for (const KeyMap::Line& line : lines) rows += line.heading.empty() ? 0 : 1;
  return rows;
}

}  // namespace

void DrawKeyList(const Scene& scene, const ScreenRect& picture) {
  const Look& look = scene.look;
  const auto& lines = scene.keys.Lines();
  const float room = picture.Width() - look.Px(2 * kSide);
  const int columns = std::clamp(static_cast<int>(room / look.Px(kColumn)), 1, 3);
  const auto each =
      (RowsOf(lines) + static_cast<std::size_t>(columns) - 1) / static_cast<std::size_t>(columns);
  ImGui::SetNextWindowPos({picture.left + look.Px(kSide), picture.top + look.Px(kSide)});
  ImGui::SetNextWindowSize({room, std::min(picture.Height() - look.Px(2 * kSide),
                                           look.Px(kLine) * static_cast<float>(each + 1) + look.Px(44))});
  ImGui::Begin("key list", nullptr,
               ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                   ImGuiWindowFlags_NoSavedSettings);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  Say(look,
      "Letters and digits start the steps, as they stand in the sheet of steps. Keys are changed in " +
          OwnKeysPath() + ".",
      look.colours.quiet, look.fonts.small);
  ImGui::Columns(columns, "keys", false);
  std::size_t rows = 0;
  for (const KeyMap::Line& line : lines) {
    const std::size_t wanted = line.heading.empty() ? 1 : 2;
    if (rows > 0 && rows + wanted > each) {
      ImGui::NextColumn();
      rows = 0;
    }
    DrawLine(look, line, room / static_cast<float>(columns));
    rows += wanted;
  }
  ImGui::Columns(1);
  ImGui::PopStyleVar();
  ImGui::End();
}

}  // namespace afterscope
