// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/shell/shell.hpp"

#include "annotate/platform/terminal.hpp"
#include "app/common/console.hpp"
#include "app/desktop/shell/field_keys.hpp"
#include "app/desktop/shell/frame.hpp"
#include "app/desktop/shell/glfw_keys.hpp"

#include <GLFW/glfw3.h>
#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#include <algorithm>
#include <array>
#include <utility>

namespace afterscope {
namespace {

constexpr double kRestSeconds = 0.5;  // drawn at least so often, for what is shown only for a while
constexpr int kMostWaited = 8;
constexpr int kLeavingFrames = 2;  // in the first a field is left, in the second its text is taken
constexpr int kLivelyFrames = 4;   // ImGui settles within a few frames after an event

Error NoWindow(const std::string& why) {
  return {ErrorCode::kNotComputable,
          "The window can't be opened: " + why + "; every function is also a command, see --help."};
}

// As the window was left, but never larger than what the screen has for windows.
std::array<int, 2> StartSize(const ViewSettings& settings) {
  int x = 0;
  int y = 0;
  int width = 0;
  int height = 0;
  if (GLFWmonitor* monitor = glfwGetPrimaryMonitor())
    glfwGetMonitorWorkarea(monitor, &x, &y, &width, &height);
  if (width <= 0 || height <= 0) return {settings.width, settings.height};
  return {std::min(settings.width, width), std::min(settings.height, height)};
}

bool IsEnter(int key) { return key == GLFW_KEY_ENTER || key == GLFW_KEY_KP_ENTER; }

// Enter is down for one frame only: held longer, it would enter at once what it has just opened, and what is
// typed then would be lost.
void LetGoOfEnter() {
  for (const int key : {GLFW_KEY_ENTER, GLFW_KEY_KP_ENTER}) ImGui::GetIO().KeysDown[key] = false;
}

GLFWwindow* MakeWindow(const ViewSettings& settings) {
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
  glfwWindowHintString(GLFW_X11_CLASS_NAME, "afterscope");
  const auto [width, height] = StartSize(settings);
  return glfwCreateWindow(width, height, "Afterscope", nullptr, nullptr);
}

}  // namespace

Result<std::unique_ptr<Shell>> Shell::Open(const ViewSettings& settings) {
  if (glfwInit() == GLFW_FALSE) return NoWindow("there is no display");
  GLFWwindow* window = MakeWindow(settings);
  if (window == nullptr) {
    glfwTerminate();
    return NoWindow("this machine's graphics driver offers no OpenGL 3.3");
  }
  auto shell = std::unique_ptr<Shell>(new Shell(window));
  glfwMakeContextCurrent(window);
  glfwSwapInterval(1);
  shell->gl_ = GlApi::Load([](const char* name) { return glfwGetProcAddress(name); });
  if (!shell->gl_.complete) return NoWindow("this machine's graphics driver lacks functions of OpenGL 3.3");
  glfwSetWindowUserPointer(window, shell.get());
  glfwSetWindowSizeLimits(window, 800, 560, GLFW_DONT_CARE, GLFW_DONT_CARE);
  shell->SetCallbacks();
  ImGui::CreateContext();
  ImGui::GetIO().IniFilename = nullptr;
  ImGui::GetIO().ConfigWindowsMoveFromTitleBarOnly = true;
  ImGui_ImplGlfw_InitForOpenGL(window, false);  // events reach it through the shell
  ImGui_ImplOpenGL3_Init("#version 330 core");
  return shell;
}

void Shell::SetCallbacks() {
  static constexpr auto kShell = [](GLFWwindow* window) -> Shell& {
    Shell& shell = *static_cast<Shell*>(glfwGetWindowUserPointer(window));
    shell.lively_ = kLivelyFrames;
    return shell;
  };
  glfwSetKeyCallback(window_, [](GLFWwindow* w, int key, int scancode, int action, int mods) {
    const auto kind = action == GLFW_RELEASE ? KeyEvent::Kind::kRelease : KeyEvent::Kind::kPress;
    if (action == GLFW_REPEAT && IsEnter(key)) return;
    kShell(w).keyboard_.Push({kind, key, scancode, mods, 0, 0, 0});
  });
  glfwSetCharCallback(window_, [](GLFWwindow* w, unsigned letter) {
    kShell(w).keyboard_.Push({KeyEvent::Kind::kLetter, 0, 0, 0, letter, 0, 0});
  });
  glfwSetMouseButtonCallback(window_, [](GLFWwindow* w, int button, int action, int mods) {
    // Asking where the pointer is would tell where it has gone since.
    Shell& shell = kShell(w);
    const auto kind = action == GLFW_PRESS ? KeyEvent::Kind::kButtonDown : KeyEvent::Kind::kButtonUp;
    shell.keyboard_.Push({kind, button, 0, mods, 0, shell.moved_to_.x, shell.moved_to_.y});
  });
  glfwSetScrollCallback(window_, [](GLFWwindow* w, double x, double y) {
    kShell(w);
    ImGui_ImplGlfw_ScrollCallback(w, x, y);
  });
  glfwSetCursorEnterCallback(window_, [](GLFWwindow* w, int entered) {
    kShell(w);
    ImGui_ImplGlfw_CursorEnterCallback(w, entered);
  });
  glfwSetWindowFocusCallback(window_, [](GLFWwindow* w, int focused) {
    kShell(w);
    ImGui_ImplGlfw_WindowFocusCallback(w, focused);
  });
  glfwSetCursorPosCallback(window_, [](GLFWwindow* w, double x, double y) {
    kShell(w).moved_to_ = {static_cast<float>(x), static_cast<float>(y)};
  });
  glfwSetWindowRefreshCallback(window_, [](GLFWwindow* w) { kShell(w); });
  glfwSetDropCallback(window_, [](GLFWwindow* w, int count, const char** paths) {
    kShell(w).dropped_.assign(paths, paths + count);
  });
}

Shell::~Shell() {
  if (ImGui::GetCurrentContext() != nullptr) {
    ImGui_ImplOpenGL3_Shutdown();
    ImGui_ImplGlfw_Shutdown();
    ImGui::DestroyContext();
  }
  glfwDestroyWindow(window_);
  glfwTerminate();
}

ShellCalls Shell::calls() {
  ShellCalls calls;
  calls.wake = [] { glfwPostEmptyEvent(); };
  calls.toggle_full_screen = [this] { ToggleFullScreen(); };
  calls.is_full_screen = [this] { return glfwGetWindowMonitor(window_) != nullptr; };
  return calls;
}

void Shell::ToggleFullScreen() {
  if (glfwGetWindowMonitor(window_) != nullptr) {
    glfwSetWindowMonitor(window_, nullptr, windowed_x_, windowed_y_, windowed_width_, windowed_height_,
                         GLFW_DONT_CARE);
    return;
  }
  GLFWmonitor* monitor = glfwGetPrimaryMonitor();
  const GLFWvidmode* mode = monitor == nullptr ? nullptr : glfwGetVideoMode(monitor);
  if (mode == nullptr) return;
  glfwGetWindowPos(window_, &windowed_x_, &windowed_y_);
  glfwGetWindowSize(window_, &windowed_width_, &windowed_height_);
  glfwSetWindowMonitor(window_, monitor, 0, 0, mode->width, mode->height, mode->refreshRate);
}

void Shell::WaitForSomething(const App& app) {
  if (lively_ > 0 || app.Restless()) {
    glfwPollEvents();
  } else {
    glfwWaitEventsTimeout(kRestSeconds);
  }
}

void Shell::PressInField(App& app, const KeyChord& chord) {
  if (app.Typing() || IsForField(chord) || !app.ActsOn(chord)) return;
  app.KeepWhatIsTyped();
  after_field_ = chord;
  leaving_ = kLeavingFrames;
}

void Shell::HandInput(App& app) {
  if (after_field_) {
    lively_ = kLivelyFrames;
    if (leaving_-- == 0) app.PressKey(*std::exchange(after_field_, std::nullopt));
    return;
  }
  LetGoOfEnter();
  const bool has_field = ImGui::GetIO().WantTextInput;
  // A note that has just been opened gets its field in a moment, and one that was closed loses it: what is
  // typed waits.
  const bool changing = app.Typing() ? !has_field : note_was_open_ && has_field;
  if (changing && waited_++ < kMostWaited) {
    lively_ = kLivelyFrames;
    return;
  }
  waited_ = 0;
  note_was_open_ = app.Typing();
  for (const KeyEvent& event : keyboard_.TakeFrame(has_field)) {
    if (event.kind == KeyEvent::Kind::kLetter) {
      ImGui_ImplGlfw_CharCallback(window_, event.letter);
      continue;
    }
    if (event.kind == KeyEvent::Kind::kButtonDown || event.kind == KeyEvent::Kind::kButtonUp) {
      if (event.key >= 0 && event.key < static_cast<int>(kButtons))
        down_[static_cast<std::size_t>(event.key)] = event.kind == KeyEvent::Kind::kButtonDown;
      pointer_ = ImVec2{event.x, event.y};
      continue;
    }
    const bool press = event.kind == KeyEvent::Kind::kPress;
    const bool typing = has_field || app.Typing();
    ImGui_ImplGlfw_KeyCallback(window_, event.key, event.scancode, press ? GLFW_PRESS : GLFW_RELEASE,
                               event.mods);
    const auto chord = ChordOf(event.key, event.scancode, event.mods);
    if (!press && chord) app.ReleaseKey(chord->key);
    if (!press || !chord) continue;
    if (typing)
      PressInField(app, *chord);
    else
      app.PressKey(*chord);
  }
  if (!keyboard_.empty()) lively_ = kLivelyFrames;
  if (!dropped_.empty()) TakeDropped(app);
}

// What was being typed belongs to the case that is open now.
void Shell::TakeDropped(App& app) {
  if (!settled_) {
    settled_ = true;
    app.KeepWhatIsTyped();
    lively_ = kLivelyFrames;
    return;
  }
  settled_ = false;
  app.OpenPaths(std::exchange(dropped_, {}));
}

// Buttons are seen in the order of keys and buttons, and where the pointer was when they went down.
void Shell::HandPointer() {
  ImGuiIO& io = ImGui::GetIO();
  for (std::size_t i = 0; i < kButtons; ++i) io.MouseDown[i] = down_[i];
  if (const auto at = std::exchange(pointer_, std::nullopt)) io.MousePos = *at;
}

void Shell::DrawOnce(App& app) {
  int width = 0;
  int height = 0;
  glfwGetFramebufferSize(window_, &width, &height);
  FollowLook(app);
  app.Update(glfwGetTime());
  ImGui_ImplOpenGL3_NewFrame();
  ImGui_ImplGlfw_NewFrame();
  HandPointer();
  ImGui::NewFrame();
  DrawFrame(app, gl_, width, height);
  glfwSwapBuffers(window_);
}

void Shell::ReadSize(App& app) const {
  if (glfwGetWindowMonitor(window_) != nullptr) return;
  glfwGetWindowSize(window_, &app.settings().width, &app.settings().height);
}

// Until it is closed.
void Shell::Serve(App& app) {
  const auto stays = [this] { return glfwWindowShouldClose(window_) == GLFW_FALSE && !Interrupted(); };
  // What was typed before it was closed is still taken.
  while (stays() || !keyboard_.empty() || after_field_) {
    WaitForSomething(app);
    HandInput(app);
    if (lively_ > 0) --lively_;
    DrawOnce(app);
  }
  for (int i = 0; i < kLeavingFrames; ++i) {
    app.KeepWhatIsTyped();
    DrawOnce(app);
  }
  ReadSize(app);
}

void Shell::Run(App& app) {
  CatchInterrupts();  // asked to end, it closes as if by its button
  Serve(app);
  Status kept = app.SaveSettings();
  if (!kept.ok() && !Interrupted()) {
    glfwSetWindowShouldClose(window_, GLFW_FALSE);
    lively_ = kLivelyFrames;
    Serve(app);
    kept = app.SaveSettings();
  }
  if (!kept.ok()) Failed(kept.error());
}

}  // namespace afterscope
