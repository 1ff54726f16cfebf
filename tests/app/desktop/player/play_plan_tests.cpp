// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/play_choice.hpp"
#include "app/desktop/player/play_plan.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

FrameRef At(double seconds) { return {0, {static_cast<std::int64_t>(seconds * 1000)}}; }

// One recording of 100 s.
CaseClock Clock() {
  RecordingRef recording;
  recording.shape.time_base = {1, 1000};
  recording.shape.end = {100'000};
  return CaseClock({recording});
}

StepVisit Visit(const char* step, double start, std::optional<double> end) {
  StepVisit visit{VisitId{std::string(step) + std::to_string(start)}, step, 0, At(start), {}, {}, false};
  if (end) visit.end = At(*end);
  return visit;
}

// rhexis 10-20, cortex 20-30, a gap, rhexis 50-60, lens from 80 on
Review Tagged() {
  Review review;
  review.visits = {Visit("rhexis", 10, 20), Visit("cortex", 20, 30), Visit("rhexis", 50, 60),
                   Visit("lens", 80, std::nullopt)};
  return review;
}

StepList Steps() { return {"x", "X", {{"rhexis", "Rhexis", "r"}, {"cortex", "Cortex", "c"}}, {}}; }

}  // namespace

TEST_CASE("Without a plan everything is played once", "[play_plan]") {
  const PlayPlan plan;
  CHECK(plan.WholeCaseOnce());
  CHECK_FALSE(Follow(plan, Clock(), 5).jumped);
  CHECK_FALSE(Follow(plan, Clock(), 99.9).ended);
  CHECK(Follow(plan, Clock(), 100).ended);
}

TEST_CASE("A plan without stretches that loops starts over", "[play_plan]") {
  const PlayPoint point = Follow({{}, true}, Clock(), 100);
  CHECK(point.jumped);
  CHECK(point.seconds == 0);
}

TEST_CASE("What lies between the played steps is jumped over", "[play_plan]") {
  const PlayPlan plan = PlanOfSteps(Tagged(), {"rhexis"}, Clock().end());
  REQUIRE(plan.stretches.size() == 2);
  CHECK(Follow(plan, Clock(), 0).seconds == 10);
  CHECK(Follow(plan, Clock(), 0).jumped);
  CHECK_FALSE(Follow(plan, Clock(), 10).jumped);
  CHECK_FALSE(Follow(plan, Clock(), 19.999).jumped);
  CHECK(Follow(plan, Clock(), 20).seconds == 50);  // half-open: the end is not played
  const PlayPoint over = Follow(plan, Clock(), 60);
  CHECK(over.ended);
  CHECK(over.seconds == 60);
}

TEST_CASE("Neighbouring steps are played as one", "[play_plan]") {
  const PlayPlan plan = PlanOfSteps(Tagged(), {}, Clock().end());
  REQUIRE(plan.stretches.size() == 3);
  CHECK(plan.stretches[0] == HalfOpen<FrameRef>{At(10), At(30)});
  CHECK(plan.stretches[2].end == At(100));  // an open visit lasts to the end of the case
}

TEST_CASE("Stretches that overlap, lie inside each other or are empty", "[play_plan]") {
  const PlayPlan plan = PlanOf({{At(30), At(40)},
                                {At(5), At(20)},
                                {At(10), At(12)},
                                {At(15), At(25)},
                                {At(50), At(50)},
                                {At(9), At(3)}},
                               false);
  REQUIRE(plan.stretches.size() == 2);
  CHECK(plan.stretches[0] == HalfOpen<FrameRef>{At(5), At(25)});
  CHECK(plan.stretches[1] == HalfOpen<FrameRef>{At(30), At(40)});
}

TEST_CASE("A loop goes back to its start, also at the end of the case", "[play_plan]") {
  const PlayPlan plan = PlanOf({{At(80), At(100)}}, true);
  CHECK_FALSE(Follow(plan, Clock(), 90).jumped);
  const PlayPoint point = Follow(plan, Clock(), 100);
  CHECK(point.jumped);
  CHECK(point.seconds == 80);
  CHECK(Follow(plan, Clock(), 3).seconds == 80);
}

TEST_CASE("The step under the playhead loops, and the same key ends it", "[play_plan]") {
  PlayChoice choice;
  const Review review = Tagged();
  const auto press = [&](const char* action, double at) {
    return DoPlayChoice(choice, action, review, Steps(), Clock(), At(at));
  };
  CHECK(press("loop step", 55) == "Loops Rhexis");
  CHECK(PlanOf(choice, review, Clock().end()) == PlanOf({{At(50), At(60)}}, true));
  press("loop step", 55);
  CHECK(choice.Everything());
  CHECK(press("loop step", 40) == "No step runs here; a stretch can be looped instead");
  CHECK(choice.Everything());
  press("loop to here", 40);
  CHECK(choice.Everything());
  press("loop from here", 33);
  press("loop to here", 20);
  CHECK(choice.Everything());
  press("loop to here", 44);
  CHECK(ChoiceWords(choice, Steps(), Clock()) == "loops 0:33.0 – 0:44.0");
  press("play everything", 0);
  CHECK(choice.Everything());
  CHECK(press("play", 0).empty());
}

TEST_CASE("Steps are added to what is played one by one", "[play_plan]") {
  PlayChoice choice;
  const Review review = Tagged();
  const auto press = [&](const char* action, double at) {
    return DoPlayChoice(choice, action, review, Steps(), Clock(), At(at));
  };
  press("only this step", 12);
  CHECK(ChoiceWords(choice, Steps(), Clock()) == "only Rhexis");
  press("only this step", 22);
  CHECK(ChoiceWords(choice, Steps(), Clock()) == "only Cortex, Rhexis");
  CHECK(PlanOf(choice, review, Clock().end()).stretches.size() == 2);
  press("only this step", 55);
  CHECK(ChoiceWords(choice, Steps(), Clock()) == "only Cortex");
  press("only tagged", 0);
  CHECK(ChoiceWords(choice, Steps(), Clock()) == "only what is tagged");
  CHECK(PlanOf(choice, review, Clock().end()).stretches.size() == 3);
  press("only tagged", 0);
  CHECK(choice.Everything());
}

}  // namespace afterscope
