// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/notes/ask_panel.hpp"

#include "app/desktop/look/widgets.hpp"
#include "app/desktop/notes/strip.hpp"

#include <imgui_stdlib.h>

#include <utility>

namespace afterscope {
namespace {

void Close(AskState& state, bool keep) {
  const auto kept = std::move(state.keep);
  const std::string text = std::move(state.text);
  state = {};
  if (keep && kept) kept(text);
}

void DrawOffers(AskState& state, const Look& look, bool& keep) {
  for (std::size_t i = 0; i < state.offers.size(); ++i) {
    if (i > 0) ImGui::SameLine();
    if (!WordButton(look, state.offers[i])) continue;
    state.text = state.offers[i];
    keep = true;
  }
}

}  // namespace

void Ask(AskState& state, std::string title, std::string hint, std::string text,
         std::function<void(const std::string&)> keep) {
  state = {};
  state.title = std::move(title);
  state.hint = std::move(hint);
  state.text = std::move(text);
  state.keep = std::move(keep);
  state.wants_focus = true;
  state.just_opened = true;
}

void DrawAsk(AskState& state, const Scene& scene, const ScreenRect& picture) {
  if (!state.open()) return;
  const Look& look = scene.look;
  BeginStrip("ask", look, picture);
  StripTitle(look, state.title);
  if (std::exchange(state.wants_focus, false)) ImGui::SetKeyboardFocusHere();
  ImGui::SetNextItemWidth(-1);
  ImGui::InputTextWithHint("##words", state.hint.c_str(), &state.text, ImGuiInputTextFlags_AutoSelectAll);
  if (!IsPlainScript(state.text)) Say(look, state.text, look.colours.text, look.fonts.body, true);
  bool keep = std::exchange(state.keep_now, false);
  DrawOffers(state, look, keep);
  const bool opened_now = std::exchange(state.just_opened, false);
  keep = keep || (!opened_now && EnterPressed());
  const bool leave = !opened_now && EscapePressed();
  EndStrip();
  if (keep || leave) Close(state, keep);
}

}  // namespace afterscope
