// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/app.hpp"
#include "app/desktop/shell/key_events.hpp"

#include <imgui.h>

#include <array>
#include <memory>
#include <optional>
#include <string>
#include <vector>

struct GLFWwindow;

namespace afterscope {

// The operating system's window with its OpenGL context and ImGui. One at a time, on the main thread.
class Shell {
 public:
  // One sentence where there is no display or no OpenGL 3.3.
  static Result<std::unique_ptr<Shell>> Open(const ViewSettings& settings);
  ~Shell();
  Shell(const Shell&) = delete;
  Shell& operator=(const Shell&) = delete;

  // Serves the app until the window is closed. Where it can't be kept how it was left, the window says so and
  // stays until it is closed once more; where the program was asked to end, standard error says it.
  void Run(App& app);
  const GlApi& gl() const { return gl_; }
  ShellCalls calls();

 private:
  explicit Shell(GLFWwindow* window) : window_(window) {}
  void SetCallbacks();
  void WaitForSomething(const App& app);
  void HandPointer();
  void HandInput(App& app);
  // While a field has the cursor, keys belong to its text, or act once the text is kept.
  void PressInField(App& app, const KeyChord& chord);
  void TakeDropped(App& app);
  void Serve(App& app);
  void DrawOnce(App& app);
  void ToggleFullScreen();
  void ReadSize(App& app) const;

  GLFWwindow* window_;
  GlApi gl_;
  KeyEventQueue keyboard_;
  static constexpr std::size_t kButtons = 3;
  std::array<bool, kButtons> down_{};
  ImVec2 moved_to_{};              // where the last motion event put the pointer
  std::optional<ImVec2> pointer_;  // where it was at the event that this frame is about
  bool note_was_open_ = false;
  int waited_ = 0;                       // frames for a field to take what is typed
  std::optional<KeyChord> after_field_;  // pressed in a field of a sheet, acts once that is left
  int leaving_ = 0;                      // frames until then
  std::vector<std::string> dropped_;
  bool settled_ = false;  // what was being typed has been kept before the drop is taken
  int lively_ = 4;        // frames to draw before it may rest
  int windowed_x_ = 0, windowed_y_ = 0, windowed_width_ = 1280, windowed_height_ = 760;
};

}  // namespace afterscope
