// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/compare/alignment.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

FrameRef At(double seconds) { return {0, {static_cast<std::int64_t>(seconds * 1000)}}; }

CaseClock Clock() {
  RecordingRef recording;
  recording.shape.time_base = {1, 1000};
  recording.shape.end = {100'000};
  return CaseClock({recording});
}

Review With(std::initializer_list<std::pair<const char*, double>> starts) {
  Review review;
  for (const auto& [step, start] : starts)
    review.visits.push_back({VisitId{std::to_string(start)}, step, 0, At(start), {}, {}, false});
  return review;
}

}  // namespace

TEST_CASE("At their own speed the shorter stretch waits at its end", "[compare]") {
  const ComparedStretch a{10, 20};
  const ComparedStretch b{50, 5};
  CHECK(CommonLength({a, b}, ComparedSpeed::kOwn) == 20);
  CHECK(PlaceAt(a, b, ComparedSpeed::kOwn, 0) == 50);
  CHECK(PlaceAt(a, b, ComparedSpeed::kOwn, 3) == 53);
  CHECK(PlaceAt(a, b, ComparedSpeed::kOwn, 12) == 55);
  CHECK(PlaceAt(a, a, ComparedSpeed::kOwn, 12) == 22);
}

TEST_CASE("At matched speed all end with the first", "[compare]") {
  const ComparedStretch a{10, 20};
  const ComparedStretch b{50, 5};
  const ComparedStretch c{0, 60};
  CHECK(CommonLength({a, b, c}, ComparedSpeed::kMatched) == Approx(20));
  CHECK(PlaceAt(a, b, ComparedSpeed::kMatched, 10) == Approx(52.5));
  CHECK(PlaceAt(a, c, ComparedSpeed::kMatched, 10) == Approx(30));
  CHECK(PlaceAt(a, c, ComparedSpeed::kMatched, 20) == Approx(60));
}

TEST_CASE("A stretch without length stands still and hurts none", "[compare]") {
  const ComparedStretch none{7, 0};
  const ComparedStretch b{50, 5};
  CHECK(RateOf(none, b, ComparedSpeed::kMatched) == 1);
  CHECK(PlaceAt(b, none, ComparedSpeed::kMatched, 3) == 7);
  CHECK(RateOf({0, 1}, {0, 100}, ComparedSpeed::kMatched) == 8);  // no faster than the player can
}

TEST_CASE("A visit's stretch lasts until the next start of its lane", "[compare]") {
  const Review review = With({{"rhexis", 10}, {"cortex", 25}, {"rhexis", 40}});
  CHECK(StretchOf(review, Clock(), "rhexis", 0)->start_s == 10);
  CHECK(StretchOf(review, Clock(), "rhexis", 0)->length_s == 15);
  CHECK(StretchOf(review, Clock(), "rhexis", 1)->length_s == 60);
  CHECK(StretchOf(review, Clock(), "rhexis", 9)->start_s == 40);
  CHECK_FALSE(StretchOf(review, Clock(), "lens", 0));
}

TEST_CASE("A visit in which the instruments change hands is looked at as one", "[compare]") {
  Review review = With({{"rhexis", 10}, {"rhexis", 20}, {"rhexis", 25}, {"lens", 40}, {"rhexis", 50}});
  review.visits[1].taken_over = true;
  CHECK(VisitsOf(review, Clock(), "rhexis").size() == 2);
  CHECK(StretchOf(review, Clock(), "rhexis", 0)->length_s == 30);
  CHECK(StretchOf(review, Clock(), "rhexis", 1)->start_s == 50);
}

TEST_CASE("Only steps that all have can be looked at together", "[compare]") {
  const Review a = With({{"rhexis", 10}, {"cortex", 25}, {"rhexis", 40}, {"lens", 50}});
  const Review b = With({{"lens", 1}, {"rhexis", 2}});
  CHECK(CommonSteps({&a, &b}) == std::vector<std::string>{"rhexis", "lens"});
  CHECK(CommonSteps({&b, &a}) == std::vector<std::string>{"lens", "rhexis"});
  const Review none;
  CHECK(CommonSteps({&a, &none}).empty());
  CHECK(CommonSteps({}).empty());
}

TEST_CASE("Panes lie beside each other where the area is wide", "[compare]") {
  const auto two = PaneAreas(2, {0, 0, 1280, 500}, 4);
  REQUIRE(two.size() == 2);
  CHECK(two[0].top == two[1].top);
  CHECK(two[1].left >= two[0].right + 3);
  const auto tall = PaneAreas(2, {0, 0, 500, 900}, 4);
  CHECK(tall[0].left == tall[1].left);
  const auto nine = PaneAreas(9, {0, 0, 1280, 720}, 4);
  REQUIRE(nine.size() == 9);
  CHECK(nine[2].right == 1280);
  CHECK(nine[8].bottom == 720);
  CHECK(nine[3].top > nine[0].bottom);
  CHECK(PaneAreas(0, {0, 0, 100, 100}, 4).empty());
}

}  // namespace afterscope
