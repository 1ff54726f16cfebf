// SPDX-License-Identifier: Apache-2.0
#include "tests/app/desktop/stage/stage_support.hpp"

#include "app/desktop/shell/frame.hpp"

#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <thread>

namespace afterscope {
namespace {

using Clock = std::chrono::steady_clock;

double ClockSince(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

}  // namespace

std::unique_ptr<Stage> Stage::Make(int width, int height) {
  auto offscreen = Offscreen::Make(width, height);
  if (!offscreen) return nullptr;
  std::unique_ptr<Stage> stage(new Stage(std::move(offscreen), width, height));
  if (stage->app_) return stage;
  return nullptr;
}

Stage::Stage(std::unique_ptr<Offscreen> offscreen, int width, int height)
    : offscreen_(std::move(offscreen)), width_(width), height_(height) {
  setenv("HOME", home_.path().c_str(), 1);
  setenv("XDG_CONFIG_HOME", (home_ / "config").c_str(), 1);
  setenv("XDG_CACHE_HOME", (home_ / "cache").c_str(), 1);
  setenv("SDL_AUDIODRIVER", "dummy", 1);
  ImGui::CreateContext();
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.DisplaySize = {static_cast<float>(width), static_cast<float>(height)};
  io.MousePos = {-1000, -1000};
  ImGui_ImplOpenGL3_Init("#version 330 core");
  auto app = App::Make(offscreen_->gl(), {[] {}, [] {}, [] { return false; }});
  if (app)
    app_ = std::move(app).value();
  else
    std::fprintf(stderr, "%s\n", app.error().message.c_str());
}

Stage::~Stage() {
  app_.reset();
  ImGui_ImplOpenGL3_Shutdown();
  ImGui::DestroyContext();
}

std::string Stage::Renderer() const { return offscreen_->Renderer(); }

void Stage::Press(const std::string& chord) {
  if (const auto parsed = ParseChord(chord)) app_->PressKey(*parsed);
}

void Stage::MovePointer(float x, float y) { ImGui::GetIO().MousePos = {x, y}; }

void Stage::Click(float x, float y) {
  MovePointer(x, y);
  Draw();
  ImGui::GetIO().MouseDown[0] = true;
  Draw();
  ImGui::GetIO().MouseDown[0] = false;
  Draw();
}

double Stage::Draw(double step) {
  const auto start = Clock::now();
  now_ += step;
  ImGui::GetIO().DeltaTime = static_cast<float>(step);
  FollowLook(*app_);
  app_->Update(now_);
  ImGui_ImplOpenGL3_NewFrame();
  ImGui::NewFrame();
  DrawFrame(*app_, offscreen_->gl(), width_, height_);
  offscreen_->Finish();
  return ClockSince(start);
}

bool Stage::DrawUntil(const std::function<bool()>& holds, double patience_s) {
  const auto start = Clock::now();
  while (true) {
    Draw();
    if (holds()) return true;
    if (ClockSince(start) > patience_s) return false;
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  }
}

bool Stage::Settle(double patience_s) {
  constexpr int kStill = 25;     // frames
  constexpr double kStep = 0.5;  // seconds of the app's clock: what is shown for a while goes soon
  int still = 0;
  RgbImage last;
  const auto start = Clock::now();
  while (still < kStill) {
    if (ClockSince(start) > patience_s) return false;
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    Draw(kStep);
    RgbImage now = Read();
    still = !app_->Restless() && !app_->Working() && now.pixels == last.pixels ? still + 1 : 0;
    last = std::move(now);
  }
  return true;
}

}  // namespace afterscope
