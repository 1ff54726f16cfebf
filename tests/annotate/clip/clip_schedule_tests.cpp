// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/clip_plan_json.hpp"
#include "annotate/clip/clip_schedule.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace afterscope {
namespace {

CaseClock TenSeconds() {
  RecordingRef recording;
  recording.shape.time_base = {1, 1000};
  recording.shape.end = Pts{10'000};
  return CaseClock({recording});
}

ClipPart Stretch(std::int64_t from_ms, std::int64_t to_ms, double speed) {
  ClipPart part;
  part.start = {0, Pts{from_ms}};
  part.end = {0, Pts{to_ms}};
  part.speed = speed;
  return part;
}

}  // namespace

TEST_CASE("A clip's frames lie where the speed puts them", "[clip]") {
  ClipPlan plan;
  plan.rate = {25, 1};
  ClipPart title;
  title.kind = ClipPartKind::kTitle;
  title.text = "Rhexis";
  title.seconds = 2;
  plan.parts = {title, Stretch(1000, 3000, 1), Stretch(1000, 3000, 2), Stretch(2000, 3000, 0.125)};
  const ClipSchedule schedule(plan, std::vector(4, TenSeconds()));
  CHECK(schedule.frames() == 50 + 50 + 25 + 200);
  CHECK(schedule.At(0).part == 0);
  CHECK(schedule.At(49).part == 0);
  CHECK(schedule.At(50).part == 1);
  CHECK(schedule.At(50).case_seconds == Approx(1));
  CHECK(schedule.At(99).case_seconds == Approx(1 + 49 / 25.0));
  CHECK(schedule.At(100 + 10).case_seconds == Approx(1 + 2 * 10 / 25.0));
  CHECK(schedule.At(125 + 100).case_seconds == Approx(2 + 100 / 25.0 / 8));
  CHECK(schedule.At(324).part == 3);
}

TEST_CASE("A view moves slowly at both ends, and zooms by equal ratios", "[clip]") {
  CHECK(Eased(0) == 0);
  CHECK(Eased(1) == 1);
  CHECK(Eased(0.5) == Approx(0.5));
  CHECK(Eased(0.01) < 0.01);
  CHECK(Eased(2) == 1);
  CHECK(ViewBetween({0, 0, 1}, {1, 1, 4}, 0.5).zoom == Approx(2));
}

TEST_CASE("A plan is kept and read again, and a bad one is refused", "[clip]") {
  const TemporaryFolder folder;
  ClipPlan plan;
  plan.name = "rhexis-2";
  plan.rate = {30000, 1001};
  plan.parts = {Stretch(0, 5000, 0.5)};
  plan.parts[0].view_at_end = {0.4, 0.6, 2.5};
  plan.parts[0].text = "Ein \"Titel\"\nmit Zeile";
  plan.parts[0].sound = ClipSound::kOriginal;
  REQUIRE(SaveClipPlan(folder.path(), plan).ok());
  const auto again = LoadClipPlan(folder.path(), "rhexis-2");
  REQUIRE(again.ok());
  CHECK(*again == plan);
  CHECK(ClipPlanNames(folder.path()) == std::vector<std::string>{"rhexis-2"});
  CHECK_FALSE(LoadClipPlan(folder.path(), "../case").ok());
  CHECK_FALSE(LoadClipPlan(folder.path(), "nothing").ok());

  const auto refused = [&](auto change) {
    ClipPlan bad = plan;
    change(bad);
    return !CheckPlan(bad).ok();
  };
  CHECK(refused([](ClipPlan& p) { p.parts.clear(); }));
  CHECK(refused([](ClipPlan& p) { p.width = 641; }));
  CHECK(refused([](ClipPlan& p) { p.parts[0].speed = 9; }));
  CHECK(refused([](ClipPlan& p) { p.parts[0].speed = std::nan(""); }));
  CHECK(refused([](ClipPlan& p) { p.parts[0].end = p.parts[0].start; }));
  CHECK(refused([](ClipPlan& p) { p.parts[0].view.zoom = 0.5; }));
  CHECK(refused([](ClipPlan& p) { p.rate = {0, 1}; }));
}

TEST_CASE("A plan with a text that could not be read again is not kept", "[clip]") {
  const TemporaryFolder folder;
  const std::string text = GENERATE(std::string("caf\xC3"), std::string(70'000, 'x'), std::string("a\0b", 3));
  const auto is_kept = [&](const auto& set) {
    ClipPlan plan;
    plan.name = "a";
    plan.parts = {Stretch(0, 5000, 1)};
    set(plan.parts[0]);
    return SaveClipPlan(folder.path(), plan).ok();
  };
  CHECK(is_kept([](ClipPart&) {}));
  CHECK_FALSE(is_kept([&](ClipPart& part) { part.text = text; }));
  CHECK_FALSE(is_kept([&](ClipPart& part) { part.sound_file = text; }));
  CHECK_FALSE(is_kept([&](ClipPart& part) { part.case_folder = text; }));
  CHECK_FALSE(is_kept([&](ClipPart& part) { part.notes = {{0, 0, 0, 0, text, 0, 3}}; }));
  CHECK(LoadClipPlan(folder.path(), "a").ok());
}

}  // namespace afterscope
