// SPDX-License-Identifier: Apache-2.0
// The proposed outline, in the real window without a display.
#include "tests/app/desktop/stage/stage_support.hpp"
#include "tests/support/phantom_cases.hpp"

#include <catch2/catch.hpp>

#include <numbers>

namespace afterscope {
namespace {

// A case of four frames round the completed rhexis, with four clicks on its edge on the second.
FrameRef MakeCase(const std::string& folder) {
  const phantom::Phantom phantom(phantom::RandomScene(7202, phantom::Difficulty::kEasy));
  const double done = phantom.script().Step("rhexis")->end_s + 0.2;
  const std::vector<double> seconds{done, done + 0.04, done + 0.08, done + 0.12};
  const FrameRef at = MadePhantomCase(phantom, seconds, folder).frames.refs[1];
  OpenCaseOptions open;
  open.reviewer_code = "m1";
  const auto session = CaseSession::Open(folder, open);
  REQUIRE(session.ok());
  const phantom::Scene& scene = phantom.scene();
  Mark clicks{MarkId{"m1"}, at, MarkKind::kRhexis, {}, {}, {{"stage", "completion"}}};
  for (const double degrees : {20, 110, 190, 290})
    clicks.points.push_back(phantom::PxOf(
        scene,
        phantom.Truth(seconds[1])
            .eye.Of(scene.rhexis.At(degrees * std::numbers::pi / 180), scene.eye.CapsuleMagnification())));
  REQUIRE((*session)->Commit({"Click", {Put<Mark>{clicks}}}).ok());
  return at;
}

}  // namespace

TEST_CASE("One key proposes the outline from the clicks, Escape leaves them", "[window][propose]") {
  const TemporaryFolder folder;
  const FrameRef at = MakeCase(folder / "X-1");
  const auto stage = Stage::Make(1280, 720);
  REQUIRE(stage);
  stage->Open({folder / "X-1"});
  const auto points = [&]() -> std::size_t {
    const auto& marks = stage->app().view().review.marks;
    return marks.empty() ? 0 : marks.front().points.size();
  };
  REQUIRE(stage->DrawUntil([&] { return points() == 4; }));
  stage->app().ShowFrame(at);
  REQUIRE(stage->DrawUntil(
      [&] { return stage->app().player().exact() && stage->app().player().playhead() == at; }));
  stage->Press("Ctrl+G");
  REQUIRE(stage->DrawUntil([&] { return points() > 20; }));
  stage->Press("Escape");
  CHECK(stage->DrawUntil([&] { return points() == 4; }, 10));
  // Once something else was done, Escape is what it always is.
  stage->Press("Ctrl+G");
  REQUIRE(stage->DrawUntil([&] { return points() > 20; }));
  stage->Press("Shift+R");
  stage->Press("Escape");
  for (int i = 0; i < 20; ++i) stage->Draw();
  CHECK(points() > 20);
}

TEST_CASE("With the limbus tool in hand the key finds it, Escape takes it away", "[window][propose]") {
  const TemporaryFolder folder;
  const FrameRef at = MakeCase(folder / "X-1");
  const auto stage = Stage::Make(1280, 720);
  REQUIRE(stage);
  stage->Open({folder / "X-1"});
  const auto limbus_points = [&]() -> std::size_t {
    for (const Mark& mark : stage->app().view().review.marks)
      if (mark.kind == MarkKind::kLimbus) return mark.points.size();
    return 0;
  };
  REQUIRE(stage->DrawUntil([&] { return !stage->app().view().review.marks.empty(); }));
  stage->app().ShowFrame(at);
  REQUIRE(stage->DrawUntil(
      [&] { return stage->app().player().exact() && stage->app().player().playhead() == at; }));
  stage->Press("Shift+L");
  stage->Press("Ctrl+G");
  REQUIRE(stage->DrawUntil([&] { return limbus_points() == 12; }));
  stage->Press("Escape");
  CHECK(stage->DrawUntil([&] { return limbus_points() == 0; }, 10));
  CHECK(stage->app().view().review.marks.size() == 1);  // the rhexis' clicks stay
  stage->Press("Ctrl+G");
  CHECK(stage->DrawUntil([&] { return limbus_points() == 12; }));
}

}  // namespace afterscope
