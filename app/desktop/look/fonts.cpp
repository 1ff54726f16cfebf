// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/look.hpp"

#include <cmath>
#include <filesystem>
#include <string>

namespace afterscope {
namespace {

// Latin, Greek, Cyrillic, punctuation, superscripts, letter-like signs. Other scripts go through ScriptText.
constexpr ImWchar kLetters[] = {0x0020, 0x024F, 0x0370, 0x03FF, 0x0400, 0x04FF, 0x1E00, 0x1EFF, 0x2000,
                                0x206F, 0x2070, 0x209F, 0x20A0, 0x20BF, 0x2100, 0x214F, 0};
constexpr ImWchar kLatin[] = {0x0020, 0x024F, 0x2000, 0x206F, 0};
// Arrows, operators, technical and geometric signs, which the first font may lack.
constexpr ImWchar kSignRanges[] = {0x2190, 0x21FF, 0x2200, 0x22FF, 0x2300, 0x23FF,
                                   0x25A0, 0x25FF, 0x2713, 0x2718, 0};

std::string FirstOf(std::initializer_list<const char*> paths) {
  std::error_code ignored;
  for (const char* path : paths)
    if (std::filesystem::is_regular_file(path, ignored)) return path;
  return {};
}

std::string RegularPath() {
  return FirstOf({"/usr/share/fonts/truetype/noto/NotoSans-Regular.ttf",
                  "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf", "C:/Windows/Fonts/segoeui.ttf"});
}

std::string BoldPath() {
  return FirstOf({"/usr/share/fonts/truetype/noto/NotoSans-SemiBold.ttf",
                  "/usr/share/fonts/truetype/noto/NotoSans-Bold.ttf",
                  "/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf", "C:/Windows/Fonts/seguisb.ttf"});
}

std::string SignsPath() {
  return FirstOf({"/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf", "C:/Windows/Fonts/seguisym.ttf"});
}

ImFont* Load(const std::string& path, float size, const ImWchar* ranges, bool with_signs) {
  ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
  if (path.empty()) return atlas.AddFontDefault();
  ImFontConfig config;
  config.OversampleH = 2;
  config.OversampleV = 1;
  ImFont* font = atlas.AddFontFromFileTTF(path.c_str(), std::round(size), &config, ranges);
  const std::string signs = with_signs ? SignsPath() : std::string();
  if (font != nullptr && !signs.empty()) {
    config.MergeMode = true;
    atlas.AddFontFromFileTTF(signs.c_str(), std::round(size), &config, kSignRanges);
  }
  return font != nullptr ? font : atlas.AddFontDefault();
}

}  // namespace

Fonts LoadFonts(float unit) {
  ImGui::GetIO().Fonts->Clear();
  Fonts fonts;
  fonts.body = Load(RegularPath(), 17 * unit, kLetters, true);
  fonts.small = Load(RegularPath(), 14 * unit, kLetters, true);
  fonts.strong = Load(BoldPath(), 17 * unit, kLatin, false);
  fonts.figures = Load(RegularPath(), 24 * unit, kLatin, false);
  fonts.large = Load(RegularPath(), 32 * unit, kLetters, false);
  return fonts;
}

void ApplyStyle(const Look& look) {
  ImGuiStyle style;
  const Palette& c = look.colours;
  const auto colour = [&](ImGuiCol which, Rgb rgb, float opacity = 1) {
    style.Colors[which] = ImGui::ColorConvertU32ToFloat4(Ink(rgb, opacity));
  };
  style.WindowRounding = 0;
  style.FrameRounding = 3;
  style.PopupRounding = 4;
  style.GrabRounding = 3;
  style.ScrollbarSize = 10;
  style.WindowBorderSize = 0;
  style.PopupBorderSize = 1;
  style.FrameBorderSize = 0;
  style.WindowPadding = {12, 10};
  style.FramePadding = {7, 4};
  style.ItemSpacing = {8, 5};
  style.ScaleAllSizes(look.unit);
  for (auto& each : style.Colors) each = ImGui::ColorConvertU32ToFloat4(Ink(c.raised));
  colour(ImGuiCol_Text, c.text);
  colour(ImGuiCol_TextDisabled, c.quiet);
  colour(ImGuiCol_WindowBg, c.sheet);
  colour(ImGuiCol_ChildBg, c.sheet, 0);
  colour(ImGuiCol_PopupBg, c.sheet);
  colour(ImGuiCol_Border, c.rule);
  colour(ImGuiCol_BorderShadow, c.rule, 0);
  colour(ImGuiCol_FrameBg, c.raised);
  colour(ImGuiCol_FrameBgHovered, Mixed(c.raised, c.rule, 0.6));
  colour(ImGuiCol_FrameBgActive, c.rule);
  colour(ImGuiCol_ScrollbarBg, c.sheet, 0);
  colour(ImGuiCol_ScrollbarGrab, c.rule);
  colour(ImGuiCol_ScrollbarGrabHovered, c.faint);
  colour(ImGuiCol_ScrollbarGrabActive, c.quiet);
  colour(ImGuiCol_Button, c.raised);
  colour(ImGuiCol_ButtonHovered, c.rule);
  colour(ImGuiCol_ButtonActive, c.faint);
  colour(ImGuiCol_Header, c.raised);
  colour(ImGuiCol_HeaderHovered, c.rule);
  colour(ImGuiCol_HeaderActive, c.rule);
  colour(ImGuiCol_CheckMark, c.focus);
  colour(ImGuiCol_SliderGrab, c.quiet);
  colour(ImGuiCol_SliderGrabActive, c.focus);
  colour(ImGuiCol_Separator, c.rule);
  colour(ImGuiCol_TextSelectedBg, c.focus, 0.45F);
  colour(ImGuiCol_ModalWindowDimBg, c.surround, 0.6F);
  colour(ImGuiCol_NavHighlight, c.focus);
  ImGui::GetStyle() = style;
  ImGui::GetIO().ConfigInputTextCursorBlink = false;  // nothing blinks
}

}  // namespace afterscope
