// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/visit_edits.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

FrameRef At(std::int64_t ticks) { return {0, Pts{ticks}}; }

StepVisit Visit(const char* id, std::int64_t start, std::int64_t end, int lane = 0) {
  StepVisit visit;
  visit.id = {id};
  visit.step = id;
  visit.lane = lane;
  visit.start = At(start);
  visit.end = At(end);
  return visit;
}

// Two steps that touch, a pause, a third; the other hand meanwhile.
struct VisitDesk {
  CaseRecord record;
  Review review;

  VisitDesk() {
    record.recordings.resize(1);
    record.recordings[0].shape = {{1, 100}, Pts{0}, Pts{1000}, 100, 100, {1, 1}, 0, true};
    review.visits = {Visit("a", 0, 100), Visit("b", 100, 200), Visit("c", 300, 400),
                     Visit("other", 250, 350, 1)};
  }
  void Do(const Result<EditGroup>& group) {
    REQUIRE(group);
    const auto inverse = ApplyEdits(*group, record, review);
    if (!inverse) FAIL(inverse.error().message);
  }
  const StepVisit& Of(const char* id) const {
    for (const StepVisit& visit : review.visits)
      if (visit.id == VisitId{id}) return visit;
    throw std::runtime_error("no such visit");
  }
};

}  // namespace

TEST_CASE(
    "The visit that is meant is the one asked about, else the running one, the first lane before the other",
    "[tagging]") {
  const VisitDesk desk;
  CHECK(VisitMeant(desk.review, At(150), std::nullopt)->id == VisitId{"b"});
  CHECK(VisitMeant(desk.review, At(320), std::nullopt)->id == VisitId{"c"});
  CHECK(VisitMeant(desk.review, At(260), std::nullopt)->id == VisitId{"other"});
  CHECK(VisitMeant(desk.review, At(150), VisitId{"c"})->id == VisitId{"c"});
  CHECK(VisitMeant(desk.review, At(220), std::nullopt) == nullptr);
  CHECK(VisitMeant(desk.review, At(150), VisitId{"gone"}) == nullptr);
}

TEST_CASE("A step starts here: the one that runs, else the next, and its neighbour goes along", "[tagging]") {
  VisitDesk desk;
  desk.Do(StartsHere(desk.review, At(120), std::nullopt));
  CHECK(desk.Of("b").start == At(120));
  CHECK(desk.Of("a").end == At(120));
  desk.Do(StartsHere(desk.review, At(240), std::nullopt));
  CHECK(desk.Of("c").start == At(240));
  CHECK(desk.Of("b").end == At(200));
  CHECK_FALSE(StartsHere(desk.review, At(600), std::nullopt));
}

TEST_CASE("A step ends here: the one that runs, else the last that ended", "[tagging]") {
  VisitDesk desk;
  desk.Do(EndsHere(desk.review, At(80), std::nullopt));
  CHECK(desk.Of("a").end == At(80));
  CHECK(desk.Of("b").start == At(80));
  desk.Do(EndsHere(desk.review, At(500), std::nullopt));
  CHECK(desk.Of("c").end == At(500));
  Review empty;
  CHECK_FALSE(EndsHere(empty, At(10), std::nullopt));
}

TEST_CASE("A visit is removed and gets an operator", "[tagging]") {
  VisitDesk desk;
  desk.Do(SetOperator(desk.review, VisitId{"a"}, "T7"));
  CHECK(desk.Of("a").operator_code == "T7");
  desk.Do(SetOperator(desk.review, VisitId{"a"}, ""));
  CHECK(desk.Of("a").operator_code.empty());
  desk.Do(RemoveVisit(desk.review, At(50), std::nullopt));
  CHECK(desk.review.visits.size() == 3);
  CHECK_FALSE(RemoveVisit(desk.review, At(50), std::nullopt));
  CHECK_FALSE(SetOperator(desk.review, VisitId{"a"}, "T7"));
}

}  // namespace afterscope
