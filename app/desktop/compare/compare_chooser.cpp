// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/compare/compare_chooser.hpp"

#include "app/desktop/fairly/shown_shelf.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/work_line.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr float kWidth = 480;
constexpr float kLine = 26;

std::string LineWords(const ShelfCase& entry, bool is_open) {
  if (is_open) return "this case, the next visit";
  std::string words = entry.code;
  for (const std::string& part : {entry.date, entry.who})
    if (!part.empty()) words += "   ·   " + part;
  return words;
}

}  // namespace

void CompareChooser::MoveCursor(int by) {
  if (cases.empty()) return;
  const auto last = static_cast<std::ptrdiff_t>(cases.size()) - 1;
  cursor =
      static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(cursor) + by, 0, last));
}

void CompareChooser::Offer(const std::vector<ShelfCase>& shelf, const std::string& open_folder,
                           bool open_has_twice, const std::string& reviewer_code) {
  cases.clear();
  looking.reset();
  cursor = 0;
  for (const ShelfCase& entry : shelf) {
    if (entry.times_only || !entry.problem.empty() || IsBlindFor(entry, reviewer_code)) continue;
    if (entry.folder != open_folder || open_has_twice) cases.push_back(entry);
  }
}

void DrawChooser(CompareChooser& state, const Scene& scene, const ScreenRect& area) {
  if (!state.open) return;
  const Look& look = scene.look;
  const float width = std::min(look.Px(kWidth), area.Width() - look.Px(24));
  const float height = std::min(
      area.Height() - look.Px(24),
      look.Px(92) + look.Px(kLine) * static_cast<float>(std::max<std::size_t>(1, state.cases.size())));
  ImGui::SetNextWindowPos({(area.left + area.right - width) / 2, (area.top + area.bottom - height) / 2});
  ImGui::SetNextWindowSize({width, height});
  ImGui::Begin("compare with", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings);
  Heading(look, "Compare " + state.step + " with");
  ImGui::BeginChild("compared cases", {0, -look.Px(28)});
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  for (std::size_t i = 0; i < state.cases.size(); ++i) {
    const ShelfCase& entry = state.cases[i];
    const Row row = BeginRow(look, entry.folder.c_str(), look.Px(kLine), i == state.cursor);
    if (i == state.cursor) ImGui::SetScrollHereY(0.5F);
    if (row.pressed) state.chosen = entry.folder;
    RowText(look, row, row.from.x + look.Px(8), LineWords(entry, entry.folder == scene.view.folder),
            look.colours.text, look.fonts.body, row.to.x - row.from.x - look.Px(16));
  }
  ImGui::PopStyleVar();
  if (!DrawWork(scene, state.looking) && state.cases.empty())
    SayQuietly(look, "There is no other case with a recording in the folder of this one.");
  ImGui::EndChild();
  ImDrawList* list = ImGui::GetWindowDrawList();
  ImVec2 at = ImGui::GetCursorScreenPos();
  const auto hint = [&](const char* key, const char* words) {
    at.x += DrawKey(look, list, at, key) + look.Px(5);
    look.script->Draw(list, look.fonts.small, {at.x, at.y + look.Px(2)}, Ink(look.colours.quiet), words);
    at.x += look.script->Size(look.fonts.small, words).x + (*words == 0 ? 0 : look.Px(14));
  };
  hint("Up", "");
  hint("Down", "choose");
  hint("Enter", "compare");
  hint("Escape", "leave");
  ImGui::End();
}

}  // namespace afterscope
