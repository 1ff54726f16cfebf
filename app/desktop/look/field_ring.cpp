// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/field_ring.hpp"

namespace afterscope {

void RingActiveField(const Look& look) {
  if (!ImGui::IsItemActive()) return;
  ImGui::GetWindowDrawList()->AddRect(ImGui::GetItemRectMin(), ImGui::GetItemRectMax(),
                                      Ink(look.colours.focus), ImGui::GetStyle().FrameRounding, 0,
                                      look.Px(1.5F));
}

}  // namespace afterscope
