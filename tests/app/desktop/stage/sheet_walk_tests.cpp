// SPDX-License-Identifier: Apache-2.0
// The open sheet by keys alone, in the real window without a display.
#include "annotate/store/case_session.hpp"
#include "tests/app/desktop/stage/stage_support.hpp"

#include <catch2/catch.hpp>
#include <imgui.h>

namespace afterscope {
namespace {

// A key goes down for a frame, as the shell hands it to ImGui beside the app.
void Strike(Stage& stage, int key, const std::string& chord) {
  ImGuiIO& io = ImGui::GetIO();
  io.KeysDown[io.KeyMap[key]] = true;
  stage.Press(chord);
  stage.Draw();
  io.KeysDown[io.KeyMap[key]] = false;
  stage.Draw();
}

std::unique_ptr<Stage> WithCase(const std::string& folder) {
  CaseRecord record;
  record.code = "X-1";
  record.step_list = "phacoemulsification";
  record.recordings.resize(1);
  record.recordings[0].path = "gone.mp4";
  record.recordings[0].shape.end = Pts{60'000};
  REQUIRE(CaseSession::Create(folder, record).ok());
  auto stage = Stage::Make(1280, 720);
  if (!stage) return nullptr;
  ImGuiIO& io = ImGui::GetIO();
  for (const auto& [key, code] : {std::pair{ImGuiKey_DownArrow, 1}, std::pair{ImGuiKey_Enter, 2},
                                  std::pair{ImGuiKey_Escape, 3}, std::pair{ImGuiKey_Space, 4}})
    io.KeyMap[key] = code;
  stage->Open({folder});
  REQUIRE(stage->DrawUntil([&] { return !stage->app().view().folder.empty(); }));
  return stage;
}

}  // namespace

TEST_CASE("A row of a sheet is gone to and pressed by keys, and Escape gives the keys back",
          "[window][keys]") {
  const TemporaryFolder folder;
  const auto stage = WithCase(folder / "X-1");
  REQUIRE(stage);
  stage->Press("F2");  // the sheet of steps is open already: it is folded
  stage->Press("F2");
  stage->Press("Shift+F6");
  for (int i = 0; i < 3; ++i) stage->Draw();
  CHECK((ImGui::GetIO().ConfigFlags & ImGuiConfigFlags_NavEnableKeyboard) != 0);
  // Down to the first step below the two buttons, which starts it at the playhead.
  bool started = false;
  for (int downs = 0; downs < 6 && !started; ++downs) {
    Strike(*stage, ImGuiKey_DownArrow, "Down");
    if (downs < 2) continue;
    Strike(*stage, ImGuiKey_Enter, "Enter");
    for (int i = 0; i < 50 && !started; ++i)
      started = stage->DrawUntil([&] { return true; }) && !stage->app().view().review.visits.empty();
  }
  CHECK(started);
  Strike(*stage, ImGuiKey_Escape, "Escape");
  CHECK((ImGui::GetIO().ConfigFlags & ImGuiConfigFlags_NavEnableKeyboard) == 0);
}

TEST_CASE("The words for the report open by a key, with their first field ready to be typed in",
          "[window][keys]") {
  const TemporaryFolder folder;
  const auto stage = WithCase(folder / "X-1");
  REQUIRE(stage);
  stage->Press("Ctrl+Shift+P");
  CHECK(stage->DrawUntil([&] { return ImGui::GetIO().WantTextInput; }, 5));
  stage->Press("Ctrl+F");
  for (int i = 0; i < 5; ++i) stage->Draw();
  CHECK(stage->DrawUntil([&] { return ImGui::GetIO().WantTextInput; }, 5));
}

}  // namespace afterscope
