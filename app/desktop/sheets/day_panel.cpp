// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/day_panel.hpp"

#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/field_ring.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/notes/strip.hpp"
#include "app/desktop/work_line.hpp"

#include <fmt/format.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <filesystem>

namespace afterscope {
namespace {

struct Column {
  const char* heading;
  const char* hint;
  float share;  // of the width of the cells
};

constexpr std::array<Column, 5> kCells{{{"Code", "never a name", 0.26F},
                                        {"Date", "YYYY-MM-DD", 0.21F},
                                        {"Eye", "r or l", 0.13F},
                                        {"Operator", "a code", 0.20F},
                                        {"Lens optic, mm", "6.0", 0.20F}}};

std::string RecordingWords(const DayRow& row) {
  const std::size_t count = row.proposed.recordings.size();
  const std::string first = std::filesystem::path(row.proposed.recordings.front().path).filename().string();
  const std::string length = LengthText(row.Seconds());
  return count == 1 ? fmt::format("{}, {}", first, length)
                    : fmt::format("{} and {} more, {}", first, count - 1, length);
}

// One cell; what is pressed in it moves the keyboard on.
void DrawCell(DayState& state, const Look& look, int row, int column, float width) {
  DayRow& line = state.rows[static_cast<std::size_t>(row)];
  std::string& text = line.cells[static_cast<std::size_t>(column)];
  if (state.wants_focus && state.row == row && state.column == column) {
    ImGui::SetKeyboardFocusHere();
    state.wants_focus = false;
  }
  ImGui::PushID(row * 16 + column);
  ImGui::SetNextItemWidth(width);
  const bool entered =
      ImGui::InputTextWithHint("##cell", kCells[static_cast<std::size_t>(column)].hint, &text,
                               ImGuiInputTextFlags_AutoSelectAll | ImGuiInputTextFlags_EnterReturnsTrue);
  ImGui::PopID();
  RingActiveField(look);
  if (ImGui::IsItemActive() && !state.wants_focus) {
    state.row = row;
    state.column = column;
  }
  if (!entered || ImGui::GetIO().KeyCtrl) return;
  const bool leaves_out = ImGui::GetIO().KeyShift;
  if (leaves_out) line.take = !line.take;
  const int below = row + 1;
  if (below >= static_cast<int>(state.rows.size())) return;
  std::string& next = state.rows[static_cast<std::size_t>(below)].cells[static_cast<std::size_t>(column)];
  if (!leaves_out && next.empty() && column != static_cast<int>(DayColumn::kCode)) next = text;
  state.row = below;
  state.wants_focus = true;
}

void DrawRow(DayState& state, const Scene& scene, int row, float cells) {
  const Look& look = scene.look;
  DayRow& line = state.rows[static_cast<std::size_t>(row)];
  ImGui::PushID(row);
  ImGui::Checkbox("##take", &line.take);
  if (ImGui::IsItemHovered()) scene.wishes.under = "Whether this becomes a case  –  Shift+Enter in its row";
  ImGui::PopID();
  for (int column = 0; column < static_cast<int>(kCells.size()); ++column) {
    ImGui::SameLine(0, look.Px(4));
    DrawCell(state, look, row, column, cells * kCells[static_cast<std::size_t>(column)].share - look.Px(4));
  }
  ImGui::SameLine(0, look.Px(8));
  const float room = ImGui::GetContentRegionAvail().x;
  const std::string words = line.problem.empty() ? RecordingWords(line) : "! " + line.problem;
  ImGui::AlignTextToFramePadding();
  const ImVec2 at = ImGui::GetCursorScreenPos();
  look.script->Draw(ImGui::GetWindowDrawList(), look.fonts.small, {at.x, at.y + look.Px(5)},
                    Ink(line.problem.empty() ? look.colours.quiet : look.colours.warning),
                    Fitted(look, look.fonts.small, words, room));
  ImGui::Dummy({room, 1});
  if (ImGui::IsItemHovered() && !line.problem.empty()) scene.wishes.under = line.problem;
}

void DrawHeadings(const Look& look, float cells) {
  const float start = ImGui::GetCursorPosX() + ImGui::GetFrameHeight() + look.Px(4);
  float x = start;
  for (const Column& column : kCells) {
    ImGui::SetCursorPosX(x);
    Say(look, column.heading, look.colours.quiet, look.fonts.small);
    ImGui::SameLine();
    x += cells * column.share;
  }
  ImGui::SetCursorPosX(x + look.Px(4));
  Say(look, "Recordings", look.colours.quiet, look.fonts.small);
}

// The keys that are not a cell's own.
void FollowKeys(DayState& state, const Scene& scene) {
  const auto pressed = [](ImGuiKey key) { return ImGui::IsKeyPressed(ImGui::GetKeyIndex(key)); };
  const int last = static_cast<int>(state.rows.size()) - 1;
  if (pressed(ImGuiKey_DownArrow) && state.row < last) ++state.row, state.wants_focus = true;
  if (pressed(ImGuiKey_UpArrow) && state.row > 0) --state.row, state.wants_focus = true;
  if (ImGui::GetIO().KeyCtrl && EnterPressed()) scene.wishes.actions.emplace_back("make cases");
  if (EscapePressed()) state.open = false;
  if (!ImGui::IsAnyItemActive() && !ImGui::IsMouseDown(0) && !state.rows.empty()) state.wants_focus = true;
}

void DrawTable(DayState& state, const Scene& scene) {
  const Look& look = scene.look;
  const float width = ImGui::GetContentRegionAvail().x;
  const float cells = width * 0.72F - ImGui::GetFrameHeight();
  DrawHeadings(look, cells);
  const float below = look.Px(70);
  ImGui::BeginChild("rows", {0, std::max(look.Px(80), ImGui::GetContentRegionAvail().y - below)});
  for (int row = 0; row < static_cast<int>(state.rows.size()); ++row) DrawRow(state, scene, row, cells);
  ImGui::EndChild();
  const auto wanted =
      std::count_if(state.rows.begin(), state.rows.end(), [](const DayRow& row) { return row.take; });
  if (KeyedButton(look, wanted == 1 ? "Make 1 case" : fmt::format("Make {} cases", wanted), "Ctrl+Enter"))
    scene.wishes.actions.emplace_back("make cases");
  ImGui::SameLine();
  if (KeyedButton(look, "Not now", "Escape")) state.open = false;
  SayQuietly(
      look,
      "Tab: the next cell. Enter: down, taking the text along. Shift+Enter: this row becomes no case, or "
      "one after all. What is left empty can be said later.");
  FollowKeys(state, scene);
}

}  // namespace

void DrawDayTable(DayState& state, const Scene& scene, const ScreenRect& area) {
  if (!state.open) return;
  const Look& look = scene.look;
  const float side = look.Px(16);
  ImGui::SetNextWindowPos({area.left + side, area.top + side});
  ImGui::SetNextWindowSize({area.Width() - 2 * side, area.Height() - 2 * side});
  ImGui::Begin("day", nullptr,
               ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                   ImGuiWindowFlags_NoSavedSettings);
  Heading(look, "New recordings in " + std::filesystem::path(state.folder).filename().string());
  if (!DrawWork(scene, state.job))
    DrawTable(state, scene);
  else if (EscapePressed())
    state.open = false;
  ImGui::End();
}

}  // namespace afterscope
