// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/clip_parts.hpp"

#include <catch2/catch.hpp>

#include <set>

namespace afterscope {
namespace {

FrameRef At(double seconds) { return {0, Pts{static_cast<std::int64_t>(seconds * 1000)}}; }

// A case of ten minutes with a short and a long step.
struct Told {
  Told() {
    RecordingRef recording;
    recording.shape.end = Pts{600'000};
    clock = CaseClock({recording});
    steps.steps = {{"rhexis", "Rhexis", "r", false}, {"cortex", "Cortex", "c", false}};
    review.id = {"r1"};
    StepVisit visit;
    visit.id = {"v1"};
    visit.step = "rhexis";
    visit.start = At(30);
    visit.end = At(90);
    review.visits.push_back(visit);
    visit.id = {"v2"};
    visit.step = "cortex";
    visit.start = At(100);
    visit.end = At(400);
    review.visits.push_back(visit);
  }
  ClipPlace Here(double seconds) const { return {review, steps, clock, At(seconds)}; }
  CaseClock clock;
  StepList steps;
  Review review;
};

}  // namespace

TEST_CASE("The step under the playhead becomes a part", "[clips]") {
  const Told told;
  const auto part = PartOfStepHere(told.Here(40));
  REQUIRE(part);
  CHECK(part->start == At(30));
  CHECK(part->end == At(90));
  CHECK(part->text == "Rhexis");
  CHECK(part->review == "r1");
  CHECK(part->sound == ClipSound::kMuted);
  CHECK_FALSE(PartOfStepHere(told.Here(95)));
}

TEST_CASE("All visits of the step, and this frame, become parts", "[clips]") {
  Told told;
  StepVisit again = told.review.visits[0];
  again.id = {"v3"};
  again.start = At(500);
  again.end.reset();
  told.review.visits.push_back(again);
  const auto parts = PartsOfThisStep(told.Here(40));
  REQUIRE(parts.size() == 2);
  CHECK(parts[1].start == At(500));
  CHECK(parts[1].end == At(600));
  CHECK(parts[1].review == "r1");
  CHECK(PartsOfThisStep(told.Here(95)).empty());
  const ClipPart still = StillHere(told.Here(45));
  CHECK(still.kind == ClipPartKind::kStill);
  CHECK(still.start == At(45));
  CHECK(PartSeconds(still, told.clock) == Approx(4));
}

TEST_CASE("A clip of one key is never longer than two minutes", "[clips]") {
  Told told;
  CHECK(QuickPart(told.Here(40)).start == At(30));  // a short step is whole
  const ClipPart middle = QuickPart(told.Here(250));
  CHECK(middle.start == At(190));
  CHECK(middle.end == At(310));
  CHECK(middle.text == "Cortex");
  const ClipPart beginning = QuickPart(told.Here(101));
  CHECK(beginning.start == At(100));
  CHECK(beginning.end == At(220));
  const ClipPart between = QuickPart(told.Here(95));
  CHECK(between.start == At(35));
  CHECK(between.text.empty());
  Moment moment;
  moment.at = At(40);
  moment.text = "The flap folds";
  told.review.moments.push_back(moment);
  const ClipPart noted = QuickPart(told.Here(40));
  CHECK(noted.start == At(0));
  CHECK(noted.end == At(120));
  CHECK(noted.text == "The flap folds");
}

TEST_CASE("A part's speed goes from an eighth to eight", "[clips]") {
  CHECK(NextPartSpeed(1, 1) == 2);
  CHECK(NextPartSpeed(8, 1) == 8);
  CHECK(NextPartSpeed(1, -1) == 0.5);
  CHECK(NextPartSpeed(0.125, -1) == 0.125);
  CHECK(NextPartSpeed(1.5, 1) == 2);
  CHECK(NextPartSpeed(1.5, -1) == 1);
}

TEST_CASE("Parts change places, and stay at the ends", "[clips]") {
  std::vector<ClipPart> parts(3);
  for (std::size_t i = 0; i < 3; ++i) parts[i].text = std::string(1, static_cast<char>('a' + i));
  CHECK(MovePart(parts, 0, -1) == 0);
  CHECK(MovePart(parts, 0, 1) == 1);
  CHECK(parts[0].text == "b");
  CHECK(MovePart(parts, 2, 1) == 2);
}

TEST_CASE("A plan lasts as long as its parts at their speeds", "[clips]") {
  const Told told;
  ClipPlan plan;
  plan.parts = {*PartOfStepHere(told.Here(40)), {}};
  plan.parts[0].speed = 2;
  plan.parts[1].kind = ClipPartKind::kTitle;
  plan.parts[1].seconds = 3;
  CHECK(PlanSeconds(plan, told.clock) == Approx(33));
  CHECK(PartTitle(plan.parts[1], 1) == "Part 2");
}

TEST_CASE("A clip's file is called by the case's code alone", "[clips]") {
  std::set<std::string> there;
  const auto taken = [&](const std::string& name) { return there.contains(name); };
  CHECK(ClipFileName("S02-318", "Rhexis", ".mp4", taken) == "S02-318-rhexis.mp4");
  there = {"S02-318-rhexis.mp4", "S02-318-rhexis-2.mp4"};
  CHECK(ClipFileName("S02-318", "Rhexis", ".mp4", taken) == "S02-318-rhexis-3.mp4");
  CHECK(ClipFileName("", "", ".webm", taken) == "clip.webm");
  CHECK(ClipFileName("../etc", "a/b: c", ".mp4", taken) == "etc-a-b-c.mp4");
}

TEST_CASE("Changes of a plan are taken back and done again", "[clips]") {
  ClipBook book;
  ClipPlan plan;
  plan.parts.resize(1);
  book.Change(plan);
  const auto revision = book.revision();
  book.Change(plan);
  CHECK(book.revision() == revision);
  CHECK(book.Undo());
  CHECK(book.plan().parts.empty());
  CHECK_FALSE(book.Undo());
  CHECK(book.Redo());
  CHECK(book.plan().parts.size() == 1);
  CHECK_FALSE(book.Redo());
  book.Open({});
  CHECK_FALSE(book.Undo());
}

TEST_CASE("What is dragged along is taken back in one", "[clips]") {
  ClipBook book;
  ClipPlan plan;
  plan.parts.resize(1);
  book.Change(plan);
  for (const double x : {0.1, 0.2, 0.3}) {
    plan.parts[0].view.x = x;
    book.Change(plan, x > 0.1);
  }
  CHECK(book.plan().parts[0].view.x == 0.3);
  CHECK(book.Undo());
  CHECK(book.plan().parts[0].view.x == ClipView().x);
  CHECK(book.Redo());
  CHECK(book.plan().parts[0].view.x == 0.3);
  CHECK(book.Undo());
  CHECK(book.Undo());
  CHECK_FALSE(book.Undo());
}

}  // namespace afterscope
