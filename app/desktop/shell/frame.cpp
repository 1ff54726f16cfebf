// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/shell/frame.hpp"

#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

namespace afterscope {

void FollowLook(App& app) {
  if (!app.TakeLookChange()) return;
  app.look().fonts = LoadFonts(app.look().unit);
  app.look().script->Forget();
  ApplyStyle(app.look());
  ImGui_ImplOpenGL3_DestroyFontsTexture();
  ImGui_ImplOpenGL3_CreateFontsTexture();
}

void DrawFrame(App& app, const GlApi& gl, int width, int height) {
  app.Draw(ImGui::GetIO().DisplaySize.x, ImGui::GetIO().DisplaySize.y);
  ImGui::Render();
  const Rgb ground = app.look().colours.surround;
  gl.Viewport(0, 0, width, height);
  gl.ClearColor(static_cast<float>(ground.r) / 255, static_cast<float>(ground.g) / 255,
                static_cast<float>(ground.b) / 255, 1);
  gl.Clear(GL_COLOR_BUFFER_BIT);
  app.PaintPicture(width, height);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
}

}  // namespace afterscope
