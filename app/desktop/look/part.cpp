// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/part.hpp"

#include <imgui.h>

#include <algorithm>

namespace afterscope {
namespace {

// A part that comes into sight does not take the keys from a field that another one has just been given.
constexpr ImGuiWindowFlags kPlain = ImGuiWindowFlags_NoFocusOnAppearing | ImGuiWindowFlags_NoDecoration |
                                    ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                                    ImGuiWindowFlags_NoBringToFrontOnFocus;

}  // namespace

void BeginPart(const char* name, const ScreenRect& area, bool opaque, bool padded) {
  ImGui::SetNextWindowPos({area.left, area.top});
  ImGui::SetNextWindowSize({std::max(1.0F, area.Width()), std::max(1.0F, area.Height())});
  ImGui::PushStyleVar(ImGuiStyleVar_WindowMinSize, {1, 1});
  if (!padded) ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {0, 0});
  ImGui::Begin(name, nullptr,
               kPlain | (opaque ? 0 : ImGuiWindowFlags_NoBackground) |
                   (padded ? 0 : ImGuiWindowFlags_NoScrollWithMouse));
  ImGui::PopStyleVar(padded ? 1 : 2);
}

}  // namespace afterscope
