// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/sheets/sheet.hpp"

#include <array>
#include <cmath>
#include <string>
#include <utility>

namespace afterscope {
namespace {

constexpr std::array<std::pair<SheetKind, const char*>, 9> kWords{{{SheetKind::kCases, "cases"},
                                                                   {SheetKind::kSteps, "steps"},
                                                                   {SheetKind::kMarks, "marks"},
                                                                   {SheetKind::kFindings, "findings"},
                                                                   {SheetKind::kReview, "review"},
                                                                   {SheetKind::kScores, "scores"},
                                                                   {SheetKind::kClips, "clips"},
                                                                   {SheetKind::kSeries, "series"},
                                                                   {SheetKind::kDrafts, "drafts"}}};
constexpr float kLine = 25;
constexpr float kBeside = 6;  // on both sides of a word and its key
constexpr float kBeforeKey = 4;

std::string KeyOf(const KeyMap& keys, const std::string& word) { return keys.KeyFor("sheet " + word); }

float WordWidth(const Look& look, const KeyMap& keys, const std::string& word) {
  const std::string key = KeyOf(keys, word);
  const float key_width = key.empty() ? 0 : look.script->Size(look.fonts.small, key).x + look.Px(kBeforeKey);
  return look.script->Size(look.fonts.body, word).x + key_width + look.Px(2 * kBeside);
}

// Whether every line has room for so many words.
bool LinesFit(const Look& look, const KeyMap& keys, std::size_t in_line, float width) {
  float x = 0;
  for (std::size_t i = 0; i < kWords.size(); ++i) {
    x = (i % in_line == 0 ? 0 : x) + WordWidth(look, keys, kWords[i].second);
    if (x > width) return false;
  }
  return true;
}

// How many words stand in each line: as many lines as are needed, filled evenly.
std::size_t WordsInLine(const Look& look, const KeyMap& keys, float width) {
  for (std::size_t lines = 1; lines < kWords.size(); ++lines) {
    const std::size_t in_line = (kWords.size() + lines - 1) / lines;
    if (LinesFit(look, keys, in_line, width)) return in_line;
  }
  return 1;
}

void DrawWord(SheetState& state, const Scene& scene, SheetKind kind, const std::string& word) {
  const Look& look = scene.look;
  const bool chosen = state.kind == kind && !state.folded;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const ImVec2 size = look.script->Size(look.fonts.body, word);
  const float height = look.Px(kLine);
  const float width = WordWidth(look, scene.keys, word);
  const bool pressed = ImGui::InvisibleButton(word.c_str(), {width, height});
  const bool hovered = ImGui::IsItemHovered();
  if (pressed) {
    state.folded = chosen;
    state.kind = kind;
  }
  if (hovered) scene.wishes.under = chosen ? "Fold this sheet away" : "Open the sheet of " + word;
  ImDrawList* list = ImGui::GetWindowDrawList();
  const Rgb colour = chosen || hovered ? look.colours.text : look.colours.quiet;
  look.script->Draw(list, look.fonts.body,
                    {at.x + look.Px(kBeside), std::round(at.y + (height - size.y) / 2)}, Ink(colour), word);
  const float key_at = at.x + look.Px(kBeside + kBeforeKey) + size.x;
  look.script->Draw(list, look.fonts.small,
                    {key_at, std::round(at.y + (height - look.fonts.small->FontSize) / 2 + look.Px(1))},
                    Ink(look.colours.quiet), KeyOf(scene.keys, word));
  if (chosen)
    list->AddRectFilled({at.x + look.Px(kBeside), at.y + height - look.Px(3)},
                        {at.x + look.Px(kBeside) + size.x, at.y + height - look.Px(1)},
                        Ink(look.colours.focus));
}

}  // namespace

float SheetWordsHeight(const Look& look, const KeyMap& keys, float width) {
  const std::size_t in_line = WordsInLine(look, keys, width);
  const std::size_t lines = (kWords.size() + in_line - 1) / in_line;
  return std::round(look.Px(kLine * static_cast<float>(lines) + 4));
}

void DrawSheetWords(SheetState& state, const Scene& scene, float width) {
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  const std::size_t in_line = WordsInLine(scene.look, scene.keys, width);
  const float left = ImGui::GetCursorPosX();
  for (std::size_t i = 0; i < kWords.size(); ++i) {
    if (i % in_line != 0)
      ImGui::SameLine();
    else
      ImGui::SetCursorPosX(left);
    DrawWord(state, scene, kWords[i].first, kWords[i].second);
  }
  ImGui::PopStyleVar();
}

}  // namespace afterscope
