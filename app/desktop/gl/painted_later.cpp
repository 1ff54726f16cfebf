// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/gl/painted_later.hpp"

namespace afterscope {
namespace {

void CarryOut(const ImDrawList*, const ImDrawCmd* command) {
  const auto& order = *static_cast<const PaintedLater*>(command->UserCallbackData);
  const ImDrawData* data = ImGui::GetDrawData();
  order.painter->Paint(order.placed, order.area,
                       static_cast<int>(data->DisplaySize.x * data->FramebufferScale.x),
                       static_cast<int>(data->DisplaySize.y * data->FramebufferScale.y));
}

}  // namespace

void PaintLater(ImDrawList* list, PaintedLater& order) {
  list->AddCallback(CarryOut, &order);
  list->AddCallback(ImDrawCallback_ResetRenderState, nullptr);
}

}  // namespace afterscope
