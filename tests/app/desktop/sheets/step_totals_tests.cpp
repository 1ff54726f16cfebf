// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/step_totals.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

StepVisit Part(const char* step, std::int64_t start, std::optional<std::int64_t> end, bool taken_over) {
  StepVisit visit{VisitId{std::to_string(start)}, step, 0, {0, {start}}, {}, "", taken_over};
  if (end) visit.end = FrameRef{0, {*end}};
  return visit;
}

}  // namespace

TEST_CASE("The step list counts a visit once, whoever has the instruments in it", "[steps]") {
  RecordingRef recording;
  recording.shape.time_base = {1, 1000};
  recording.shape.end = {30'000};
  Review review;
  review.visits = {Part("rhexis", 2000, 5000, false), Part("rhexis", 5000, 7000, true),
                   Part("rhexis", 7000, 9000, false), Part("rhexis", 11'480, 18'000, false),
                   Part("lens", 18'000, {}, false)};
  auto totals = StepTotals({}, review, CaseClock({recording}));
  REQUIRE(totals.size() == 2);
  CHECK(totals["rhexis"].visits == 2);
  CHECK(totals["rhexis"].seconds == Approx(13.52));
  CHECK_FALSE(totals["rhexis"].runs);
  CHECK(totals["lens"].visits == 1);
  CHECK(totals["lens"].seconds == Approx(12));
  CHECK(totals["lens"].runs);
}

}  // namespace afterscope
