// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/widgets.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

// What stands on a key instead of its name.
std::string KeySign(const std::string& chord) {
  constexpr std::array<std::pair<const char*, const char*>, 8> kKeySigns{{{"Right", "→"},
                                                                          {"Left", "←"},
                                                                          {"Up", "↑"},
                                                                          {"Down", "↓"},
                                                                          {"PageUp", "Page ↑"},
                                                                          {"PageDown", "Page ↓"},
                                                                          {"Escape", "Esc"},
                                                                          {"Delete", "Del"}}};
  for (const auto& [name, sign] : kKeySigns) {
    const std::string_view text = name;
    if (!chord.ends_with(text)) continue;
    if (chord.size() > text.size() && chord[chord.size() - text.size() - 1] != '+') continue;
    return chord.substr(0, chord.size() - text.size()) + sign;
  }
  return chord;
}

// All texts of a row stand on the same line: the one on which the body font is in the middle.
float TopOf(const Look& look, const Row& row, const ImFont* font) {
  const ImFont* body = look.fonts.body;
  return std::round((row.from.y + row.to.y - body->FontSize) / 2 + body->Ascent) - std::round(font->Ascent);
}

}  // namespace

void Say(const Look& look, const std::string& text, Rgb colour, const ImFont* font, bool wrap) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float wrap_px = wrap ? std::max(20.0F, ImGui::GetContentRegionAvail().x) : 0;
  const ImVec2 size = look.script->Size(font, text, wrap_px);
  look.script->Draw(ImGui::GetWindowDrawList(), font, at, Ink(colour), text, wrap_px);
  ImGui::Dummy(size);
}

void Say(const Look& look, const std::string& text) { Say(look, text, look.colours.text, look.fonts.body); }

void SayQuietly(const Look& look, const std::string& text) {
  Say(look, text, look.colours.quiet, look.fonts.small, true);
}

void Heading(const Look& look, const std::string& text) {
  ImGui::Dummy({0, look.Px(4)});
  Say(look, text, look.colours.text, look.fonts.strong);
  ImGui::Dummy({0, look.Px(1)});
}

void ThinRule(const Look& look) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float y = std::round(at.y + look.Px(4)) + 0.5F;
  ImGui::GetWindowDrawList()->AddLine({at.x, y}, {at.x + ImGui::GetContentRegionAvail().x, y},
                                      Ink(look.colours.rule));
  ImGui::Dummy({0, look.Px(9)});
}

float KeyWidth(const Look& look, const std::string& chord) {
  const ImFont* font = look.fonts.small;
  const float text = look.script->Size(font, KeySign(chord)).x;
  return std::round(std::max(text + look.Px(10), look.Px(20)));
}

float DrawKey(const Look& look, ImDrawList* list, ImVec2 at, const std::string& chord) {
  const ImFont* font = look.fonts.small;
  const std::string sign = KeySign(chord);
  const float width = KeyWidth(look, chord);
  const ImVec2 from{std::round(at.x), std::round(at.y)};
  const ImVec2 to{from.x + width, from.y + std::round(look.Px(19))};
  list->AddRectFilled(from, to, Ink(look.colours.raised), look.Px(3));
  list->AddLine({from.x + look.Px(2), to.y - 1}, {to.x - look.Px(2), to.y - 1}, Ink(look.colours.faint, 0.7));
  const ImVec2 size = look.script->Size(font, sign);
  look.script->Draw(
      list, font,
      {std::round(from.x + (width - size.x) / 2), std::round((from.y + to.y - size.y) / 2 - look.Px(0.5F))},
      Ink(look.colours.text), sign);
  return width;
}

std::string Fitted(const Look& look, const ImFont* font, const std::string& text, float width) {
  if (look.script->Size(font, text).x <= width) return text;
  std::string cut = text;
  while (!cut.empty()) {
    // A whole UTF-8 character at a time.
    while (!cut.empty() && (static_cast<unsigned char>(cut.back()) & 0xC0U) == 0x80U) cut.pop_back();
    if (!cut.empty()) cut.pop_back();
    if (look.script->Size(font, cut + "…").x <= width) return cut.empty() ? cut : cut + "…";
  }
  return {};
}

Row BeginRow(const Look& look, const char* id, float height, bool chosen) {
  Row row;
  row.from = ImGui::GetCursorScreenPos();
  const float width = ImGui::GetContentRegionAvail().x;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  row.pressed = ImGui::InvisibleButton(id, {std::max(width, 1.0F), std::max(height, 1.0F)});
  ImGui::PopStyleVar();
  const bool reached = ImGui::IsItemFocused() && ImGui::GetIO().NavVisible;
  row.hovered = ImGui::IsItemHovered() || reached;
  row.to = {row.from.x + width, row.from.y + height};
  if (reached) ImGui::GetWindowDrawList()->AddRect(row.from, row.to, Ink(look.colours.focus), look.Px(3));
  if (chosen || row.hovered)
    ImGui::GetWindowDrawList()->AddRectFilled(row.from, row.to, Ink(look.colours.raised, chosen ? 1 : 0.6),
                                              look.Px(3));
  return row;
}

void RowText(const Look& look, const Row& row, float x, const std::string& text, Rgb colour,
             const ImFont* font, float most_width) {
  const std::string shown = most_width > 0 ? Fitted(look, font, text, most_width) : text;
  look.script->Draw(ImGui::GetWindowDrawList(), font, {std::round(x), TopOf(look, row, font)}, Ink(colour),
                    shown);
}

void RowTextRight(const Look& look, const Row& row, float x, const std::string& text, Rgb colour,
                  const ImFont* font) {
  RowText(look, row, x - look.script->Size(font, text).x, text, colour, font);
}

bool WordButton(const Look& look, const std::string& text, bool chosen) {
  ImGui::PushFont(look.fonts.body);
  if (chosen) ImGui::PushStyleColor(ImGuiCol_Button, Ink(look.colours.rule));
  const bool pressed = ImGui::Button(text.c_str());
  if (chosen) ImGui::PopStyleColor();
  ImGui::PopFont();
  return pressed;
}

bool KeyedButton(const Look& look, const std::string& text, const std::string& key) {
  const ImFont* font = look.fonts.body;
  const ImVec2 padding = ImGui::GetStyle().FramePadding;
  const float words = look.script->Size(font, text).x;
  const float key_width = key.empty() ? 0 : KeyWidth(look, key) + look.Px(6);
  const ImVec2 from = ImGui::GetCursorScreenPos();
  const float height = ImGui::GetFrameHeight();
  const bool pressed = ImGui::Button(("##" + text).c_str(), {words + key_width + 2 * padding.x, height});
  ImDrawList* list = ImGui::GetWindowDrawList();
  look.script->Draw(list, font, {from.x + padding.x, from.y + std::round((height - font->FontSize) / 2)},
                    Ink(look.colours.text), text);
  if (!key.empty())
    DrawKey(look, list,
            {from.x + padding.x + words + look.Px(6), from.y + std::round((height - look.Px(19)) / 2)}, key);
  return pressed;
}

}  // namespace afterscope
