// SPDX-License-Identifier: Apache-2.0
// The whole window, without a display, in a blinded review: what is hidden until it is signed.
#include "app/desktop/fairly/review_choice.hpp"
#include "tests/app/desktop/stage/invented_case_support.hpp"
#include "tests/app/desktop/stage/stage_support.hpp"

#include <catch2/catch.hpp>
#include <imgui.h>

#include <algorithm>

namespace afterscope {
namespace {

// A cover over the left upper quarter, laid by whoever prepared the case.
void LayCover(const std::string& folder) {
  auto session = CaseSession::Open(folder, {});
  REQUIRE(session.ok());
  Mark cover;
  cover.id = (*session)->NewMarkId();
  cover.kind = MarkKind::kCover;
  cover.at = {0, (*session)->record().recordings[0].shape.first};
  const RecordingShape& shape = (*session)->record().recordings[0].shape;
  cover.points = {{0, 0}, {shape.width / 2.0, shape.height / 2.0}};
  REQUIRE((*session)->Commit({"Cover", {Put<Mark>{cover}}}).ok());
}

// Begun before, and chosen in this window last.
void BeginBlinded(const std::string& folder, ViewSettings& settings) {
  const auto begun = BeginReviewAs("M1", {ReviewKind::kFormative, false, Blinding::kBlinded})(folder);
  REQUIRE(begun.ok());
  RememberReview(settings, folder, begun->review->value);
}

void PressEnter(Stage& stage) {
  constexpr int kAnyKey = 1;
  ImGui::GetIO().KeyMap[ImGuiKey_Enter] = kAnyKey;
  for (const bool down : {true, false}) {
    ImGui::GetIO().KeysDown[kAnyKey] = down;
    for (int i = 0; i < 2; ++i) stage.Draw();
  }
}

// The darkest and the brightest luma in a part of the picture.
std::pair<int, int> LumaRange(const Picture& picture, int x0, int y0, int x1, int y1) {
  int low = 255;
  int high = 0;
  for (int y = y0; y < y1; ++y)
    for (int x = x0; x < x1; ++x) {
      const int luma = picture.planes[0].data[y * picture.planes[0].stride + x];
      low = std::min(low, luma);
      high = std::max(high, luma);
    }
  return {low, high};
}

}  // namespace

TEST_CASE("In a blinded review the window hides names, sound and what is covered, until it is signed",
          "[window]") {
  const TemporaryFolder folder;
  const auto cases = MakeInventedCases(folder.path());
  REQUIRE(cases.size() == 2);
  LayCover(cases[1]);
  auto stage = Stage::Make(1280, 720);
  REQUIRE(stage);
  App& app = stage->app();
  BeginBlinded(cases[1], app.settings());
  stage->Open({cases[1]});
  REQUIRE(stage->DrawUntil([&] { return !app.player().shown().empty() && app.player().exact(); }));
  REQUIRE(app.view().hidden);
  CHECK(app.view().record.code.empty());
  CHECK(app.view().record.date.empty());
  CHECK(app.view().record.operator_code == "operator");
  CHECK(app.view().record.recordings[0].path == "recording 1");
  CHECK(app.settings().recent.empty());
  const Picture& picture = app.player().shown();
  const auto covered = LumaRange(picture, 0, 0, picture.width / 2, picture.height / 2);
  CHECK(covered.first == covered.second);
  const auto open =
      LumaRange(picture, picture.width / 2 + 2, picture.height / 2 + 2, picture.width, picture.height);
  CHECK(open.second > open.first + 20);

  stage->Press("1");  // no step of the list: nothing
  stage->Press("R");
  REQUIRE(stage->DrawUntil([&] { return app.view().review.visits.size() == 1; }));
  stage->Press("Ctrl+K");
  stage->Draw();
  CHECK(app.said().text.starts_with("Nothing is compared"));
  stage->Press("Ctrl+E");
  stage->Draw();
  CHECK_FALSE(app.compared().open());

  stage->Press("Ctrl+Shift+S");
  for (int i = 0; i < 3; ++i) stage->Draw();  // the field gets the keyboard
  CHECK(app.Typing());
  app.KeepWhatIsTyped();  // as when the window is closed: nobody has signed
  for (int i = 0; i < 5; ++i) stage->Draw();
  CHECK_FALSE(app.view().review.is_signed);
  PressEnter(*stage);
  REQUIRE(stage->DrawUntil([&] { return app.view().review.is_signed; }));
  CHECK(app.view().hidden);  // until it is said whether the operator was recognised
  CHECK(app.view().asks_recognised);
  REQUIRE(stage->DrawUntil([&] { return app.Typing(); }));
  for (int i = 0; i < 3; ++i) stage->Draw();  // the field gets the keyboard
  ImGui::GetIO().AddInputCharacter('p');
  for (int i = 0; i < 3; ++i) stage->Draw();
  PressEnter(*stage);
  REQUIRE(stage->DrawUntil([&] { return !app.view().hidden && app.view().record.code == "X-002"; }));
  REQUIRE(app.view().record.signed_reviews.size() == 1);
  CHECK(app.view().record.signed_reviews[0].recognised == Recognition::kPerhaps);
  // Opened again, without covers; and sealed.
  REQUIRE(stage->DrawUntil([&] { return app.player().exact(); }));
  const Picture& bare = app.player().shown();
  const auto shown = LumaRange(bare, 0, 0, bare.width / 2, bare.height / 2);
  CHECK(shown.second > shown.first + 20);
  CHECK(app.view().review.visits.size() == 1);
  CHECK(app.settings().recent.size() == 1);
  stage->Press("L");
  stage->DrawUntil([&] { return !app.Working(); });
  CHECK(app.view().review.visits.size() == 1);
}

TEST_CASE("Cases of a folder that is reviewed blinded are numbers, and get blinded reviews", "[window]") {
  const TemporaryFolder folder;
  const auto cases = MakeInventedCases(folder.path());
  REQUIRE(cases.size() == 2);
  auto stage = Stage::Make(1280, 720);
  REQUIRE(stage);
  App& app = stage->app();
  stage->Open({folder / "cases"});
  REQUIRE(stage->DrawUntil([&] { return app.shelf().size() == 2; }));
  CHECK(app.shelf()[0].name == "X-001");
  stage->Press("Ctrl+Shift+B");
  stage->Draw();
  CHECK(app.shelf()[0].name == "Case 1");
  CHECK(app.shelf()[1].nameless);
  stage->Press("Alt+PageDown");
  REQUIRE(stage->DrawUntil([&] { return app.view().hidden; }));
  CHECK(app.view().review.visits.empty());  // a review of its own
  const ReviewId first = app.view().review.id;
  stage->Press("Alt+PageDown");
  REQUIRE(stage->DrawUntil([&] { return app.view().hidden && app.view().kept_record.code != ""; }));
  stage->Press("Ctrl+W");
  stage->Draw();
  CHECK(app.view().folder.empty());
  CHECK(first == ReviewId{"r2"});
}

}  // namespace afterscope
