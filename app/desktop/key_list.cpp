// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/key_list.hpp"

#include "app/desktop/desk/view_settings.hpp"
#include "app/desktop/look/widgets.hpp"

#include <algorithm>
#include <numeric>
#include <span>

namespace afterscope {
namespace {

constexpr float kColumn = 245;
constexpr float kLine = 19.5F;
constexpr float kAboveGroup = 7;
constexpr float kSide = 16;

using Group = std::span<const KeyMap::Line>;

// A line with a heading begins a group.
std::vector<Group> GroupsOf(const std::vector<KeyMap::Line>& lines) {
  std::vector<Group> groups;
  std::size_t from = 0;
  for (std::size_t i = 1; i <= lines.size(); ++i) {
    if (i < lines.size() && lines[i].heading.empty()) continue;
    groups.emplace_back(lines.data() + from, i - from);
    from = i;
  }
  return groups;
}

// The columns that groups stand in when none may be higher than `most`.
std::vector<int> FilledUpTo(const std::vector<int>& rows, int most) {
  std::vector<int> columns;
  int column = 0;
  int height = 0;
  for (const int each : rows) {
    if (height > 0 && height + each > most) {
      ++column;
      height = 0;
    }
    height += each;
    columns.push_back(column);
  }
  return columns;
}

void DrawLine(const Look& look, const KeyMap::Line& line) {
  const Row row = BeginRow(look, line.action.c_str(), look.Px(kLine), false);
  float keys = 0;
  for (const std::string& key : line.keys) keys += KeyWidth(look, key) + look.Px(4);
  const float right = row.to.x - look.Px(22);
  const float x_keys = std::max(row.from.x + look.Px(120), right - keys);
  RowText(look, row, row.from.x + look.Px(4), line.action, look.colours.text, look.fonts.small,
          x_keys - row.from.x - look.Px(8));
  float x = x_keys;
  for (const std::string& key : line.keys)
    x += DrawKey(look, ImGui::GetWindowDrawList(), {x, row.from.y}, key) + look.Px(4);
}

void DrawGroup(const Look& look, Group group) {
  ImGui::Dummy({0, look.Px(kAboveGroup)});
  Say(look, group.front().heading, look.colours.text, look.fonts.strong);
  for (const KeyMap::Line& line : group) DrawLine(look, line);
}

}  // namespace

std::vector<int> ColumnsOfGroups(const std::vector<int>& rows, int columns) {
  const int all = std::accumulate(rows.begin(), rows.end(), 0);
  for (int most = std::max(1, all / std::max(1, columns)); most < all; ++most) {
    std::vector<int> filled = FilledUpTo(rows, most);
    if (!filled.empty() && filled.back() < columns) return filled;
  }
  return std::vector<int>(rows.size(), 0);
}

void DrawKeyList(const Scene& scene, const ScreenRect& area) {
  const Look& look = scene.look;
  const std::vector<Group> groups = GroupsOf(scene.keys.Lines());
  ImGui::SetNextWindowPos({area.left, area.top});
  ImGui::SetNextWindowSize({area.Width(), area.Height()});
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {look.Px(kSide), look.Px(8)});
  ImGui::Begin("key list", nullptr,
               ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                   ImGuiWindowFlags_NoSavedSettings);
  ImGui::PopStyleVar();
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  SayQuietly(look,
             "Letters and digits start the steps, as they stand in the sheet of steps. Keys are changed in " +
                 OwnKeysPath() + ". " + scene.keys.KeyFor("key list") + " or Esc puts this list away.");
  const int columns = std::max(1, static_cast<int>((area.Width() - look.Px(2 * kSide)) / look.Px(kColumn)));
  std::vector<int> rows;
  rows.reserve(groups.size());
  for (const Group group : groups) rows.push_back(static_cast<int>(group.size()) + 2);
  const std::vector<int> placed = ColumnsOfGroups(rows, columns);
  ImGui::Columns(columns, "keys", false);
  for (std::size_t i = 0; i < groups.size(); ++i) {
    if (i > 0 && placed[i] != placed[i - 1]) ImGui::NextColumn();
    DrawGroup(look, groups[i]);
  }
  ImGui::Columns(1);
  ImGui::PopStyleVar();
  ImGui::End();
}

}  // namespace afterscope
