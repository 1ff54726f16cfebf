// SPDX-License-Identifier: Apache-2.0
#include "metrics/timing/step_times.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

// A published case of an open set of cataract operations (video 269 of 101, 25 frames a second, 14734
// frames): starts of phases; a phase ends at the next start, the last at the end. Seconds follow by
// arithmetic.
std::vector<TimedVisit> PublishedCase() {
  const std::pair<int, const char*> starts[] = {{68, "1"},   {1043, "2"}, {1228, "3"},   {2118, "4"},
                                                {3478, "5"}, {6864, "6"}, {7727, "7"},   {8473, "2"},
                                                {8683, "8"}, {9482, "9"}, {14138, "10"}, {14623, "10"}};
  std::vector<TimedVisit> out;
  for (std::size_t i = 0; i < 12; ++i)
    out.push_back({starts[i].second,
                   "a",
                   {starts[i].first / 25.0, (i < 11 ? starts[i + 1].first : 14734) / 25.0},
                   0.04,
                   false});
  return out;
}

TEST_CASE("The published case has its published step times", "[timing]") {
  const std::vector<TimedVisit> visits = PublishedCase();
  struct Row {
    const char* step;
    double total;
    int visits;
    double longest;
  };
  const Row row = GENERATE(Row{"1", 39.00, 1, 39.00}, Row{"2", 15.80, 2, 8.40}, Row{"3", 35.60, 1, 35.60},
                           Row{"4", 54.40, 1, 54.40}, Row{"5", 135.44, 1, 135.44}, Row{"6", 34.52, 1, 34.52},
                           Row{"7", 29.84, 1, 29.84}, Row{"8", 31.96, 1, 31.96}, Row{"9", 186.24, 1, 186.24},
                           Row{"10", 23.84, 2, 19.40});
  const auto times = MeasureStep(visits, row.step, std::nullopt);
  REQUIRE(times);
  CHECK(times->total.value == Approx(row.total));
  CHECK(times->visits == row.visits);
  CHECK(times->longest.value == Approx(row.longest));
  CHECK(times->total.low < row.total);
  CHECK(times->total.high < row.total + 0.08);
  const auto whole = MeasureWhole(visits);
  CHECK(whole->whole.value == Approx(589.36 - 68 / 25.0));
  CHECK(whole->gaps == 0);
}

TEST_CASE("A take-over counts for the supervisor", "[timing]") {
  const std::vector<TimedVisit> visits{{"phaco", "trainee", {0, 100}, 0.04, false},
                                       {"phaco", "senior", {100, 130}, 0.04, true},
                                       {"cortex", "senior", {130, 150}, 0.04, true},
                                       {"cortex", "trainee", {160, 200}, 0.04, false}};
  CHECK(MeasureStep(visits, "phaco", "trainee")->total.value == Approx(100));
  CHECK(MeasureStep(visits, "phaco", "senior")->total.value == Approx(30));
  CHECK(MeasureStep(visits, "phaco", std::nullopt)->total.value == Approx(130));
  CHECK(MeasureOperator(visits, "trainee")->share.value == Approx(140.0 / 190));
  CHECK(MeasureOperator(visits, "senior")->total.value == Approx(50));
  const auto whole = MeasureWhole(visits);
  CHECK(whole->take_overs == 1);
  CHECK(whole->gaps == 1);
  CHECK(whole->gaps_total.value == Approx(10));
  CHECK(whole->whole.value == Approx(200));
}

TEST_CASE("Degenerate: times of no visit, an unknown step or operator, and an empty visit", "[timing]") {
  CHECK_FALSE(MeasureWhole({}));
  CHECK_FALSE(MeasureStep(PublishedCase(), "none", std::nullopt));
  CHECK_FALSE(MeasureStep(PublishedCase(), "1", "nobody"));
  CHECK_FALSE(MeasureOperator(PublishedCase(), "nobody"));
  const std::vector<TimedVisit> empty{{"x", "a", {5, 5}, 0.04, false}};
  CHECK(MeasureStep(empty, "x", std::nullopt)->total.value == 0);
  CHECK_FALSE(MeasureOperator(empty, "a"));
}

}  // namespace
TEST_CASE("A hand-over inside a step begins no visit", "[timing]") {
  const std::vector<TimedVisit> parts{
      {"rhexis", "t", {2, 5}, 0.04, false}, {"rhexis", "s", {5, 7}, 0.04, true},
      {"rhexis", "t", {7, 9}, 0.04, false}, {"rhexis", "t", {11.48, 18}, 0.04, false},
      {"lens", "t", {18, 20}, 0.04, false}, {"lens", "t", {20, 21}, 0.04, false}};
  const auto own = MeasureStep(parts, "rhexis", "t"), others = MeasureStep(parts, "rhexis", "s");
  CHECK(MeasureStep(parts, "rhexis", std::nullopt)->visits == 2);
  CHECK(own->visits == 2);
  CHECK(own->total.value == Approx(11.52));  // without the supervisor's two seconds
  CHECK(others->visits == 1);
  CHECK(others->total.value == Approx(2));
  // Cut in two without a hand-over, they are two.
  CHECK(MeasureStep(parts, "lens", "t")->visits == 2);
}

TEST_CASE("Parts are joined across what other steps overlap, in whatever order they come", "[timing]") {
  const std::vector<TimedVisit> parts{
      {"rhexis", "s", {5, 7}, 0, true}, {"rhexis", "t", {2, 5}, 0, false}, {"ruler", "t", {4, 6}, 0, false}};
  const auto visits = JoinedVisits(parts);
  REQUIRE(visits.size() == 2);
  CHECK(visits[0].seconds.start == 2);
  CHECK(visits[0].seconds.end == 7);
  CHECK(visits[0].parts == std::vector<std::size_t>{1, 0});
  CHECK(IsOf(visits[0], parts, "s"));
  CHECK_FALSE(IsOf(visits[1], parts, "s"));
  CHECK(JoinedVisits({}).empty());
}

}  // namespace afterscope
