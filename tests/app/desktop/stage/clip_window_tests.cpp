// SPDX-License-Identifier: Apache-2.0
// The sheet of clips by its keys and the mouse, in the real window drawn without a display.
#include "annotate/clip/clip_plan_json.hpp"
#include "annotate/jobs/phantom/ideal_reviewer.hpp"
#include "tests/app/desktop/stage/approved_support.hpp"
#include "tests/app/desktop/stage/invented_case_support.hpp"
#include "tests/app/desktop/stage/stage_support.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>

namespace afterscope {
namespace {

FrameRef FrameOf(const Review& review, const MarkId& id) {
  const auto found =
      std::find_if(review.marks.begin(), review.marks.end(), [&](const Mark& mark) { return mark.id == id; });
  return found == review.marks.end() ? FrameRef{} : found->at;
}

// Left in the folder AFTERSCOPE_LOOK, to be looked at.
void LeaveToLookAt(Stage& stage, const std::string& name) {
  CHECK(stage.Settle());
  if (const char* look = std::getenv("AFTERSCOPE_LOOK"))
    WritePngFile(stage.Read(), std::string(look) + "/" + name + ".png");
}

void PressAll(Stage& stage, std::initializer_list<const char*> chords) {
  for (const char* chord : chords) {
    stage.Press(chord);
    stage.Draw();
  }
}

}  // namespace

TEST_CASE("A clip's parts are changed by keys while the preview shows them", "[.clip_window]") {
  const TemporaryFolder folder;
  const auto cases = MakeInventedCases(folder.path());
  REQUIRE(cases.size() == 2);
  auto stage = Stage::Make(1280, 720);
  REQUIRE(stage);
  stage->Open({cases[1]});
  REQUIRE(stage->Settle());
  stage->app().ShowFrame(FrameOf(stage->app().view().review, marked::kRhexis));
  stage->Press("Shift+F2");
  REQUIRE(stage->Settle());
  stage->Press("Shift+V");
  LeaveToLookAt(*stage, "clip_part");
  const auto plan = [&] {
    REQUIRE(stage->Settle());
    auto loaded = LoadClipPlan(cases[1], "clip");
    REQUIRE(loaded.ok());
    return *loaded;
  };
  REQUIRE(plan().parts.size() == 1);

  PressAll(*stage, {"Alt+J", "Alt+Shift+F", "Alt+T", "Alt+A", "Alt+Shift+V", "Alt+Shift+R", "-"});
  ClipPlan changed = plan();
  CHECK_FALSE(changed.parts[0].dial);
  CHECK(changed.parts[0].findings);
  CHECK(changed.parts[0].timer);
  CHECK(changed.parts[0].fade_seconds == 1);
  CHECK(changed.parts[0].voice);
  CHECK(changed.parts[0].speed == 0.5);
  CHECK(changed.rate == Rational{30, 1});

  stage->Press("Alt+V");
  REQUIRE(stage->Settle());
  PressAll(*stage, {"Alt+E", "Alt+E", "Ctrl+Up", "Ctrl+Up", "Ctrl+Shift+Right"});
  changed = plan();
  CHECK(changed.parts[0].view.zoom == 1);
  CHECK(changed.parts[0].view_at_end.zoom == Approx(1.25 * 1.25));
  CHECK(changed.parts[0].view_at_end.x > 0.5);
  LeaveToLookAt(*stage, "clip_preview");
  stage->Press("Z");
  CHECK(plan().parts[0].view_at_end == ClipView());

  // An arrow, drawn by the mouse.
  stage->Press("Shift+A");
  LeaveToLookAt(*stage, "clip_arrow");
  stage->Press("Escape");
  stage->Press("Alt+V");
  REQUIRE(stage->Settle());
  stage->app().ShowFrame(FrameOf(stage->app().view().review, marked::kRhexis));
  stage->Press("Alt+Z");
  changed = plan();
  REQUIRE(changed.parts.size() >= 2);
  CHECK(std::any_of(changed.parts.begin(), changed.parts.end(),
                    [](const ClipPart& part) { return part.kind == ClipPartKind::kStill; }));

  // A part of the other case, in the same clip.
  const std::size_t before = changed.parts.size();
  stage->Press("Alt+Shift+O");
  stage->Open({cases[0]});
  REQUIRE(stage->Settle());
  stage->Press("PageDown");  // to its first step
  REQUIRE(stage->Settle());
  stage->Press("Shift+V");
  changed = plan();
  REQUIRE(changed.parts.size() == before + 1);
  CHECK(changed.parts.back().case_folder.starts_with("../"));
  LeaveToLookAt(*stage, "clip_several_cases");
}

}  // namespace afterscope
