// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/visit_csv.hpp"
#include "tests/annotate/case/case_support.hpp"

#include <catch2/catch.hpp>

using namespace afterscope;

TEST_CASE("The visits of the first lane as a table, open ones to the next start and the end of the case") {
  Review review;
  review.visits = {{{"v0"}, "rhexis", 0, At(0), At(1'000), "", false},
                   {{"v1"}, "side_port", 0, At(1'234), At(5'000), "", false},
                   {{"v2"}, "other", 1, At(2'000), At(3'000), "", false},
                   {{"v3"}, "rhexis", 0, At(5'000), std::nullopt, "", true},
                   {{"v4"}, "=own", 0, At(100, 1), std::nullopt, "", false}};
  StepList steps;
  steps.steps = {{"side_port", "Side port", "", false}, {"rhexis", "Rhexis", "", false}};
  const CaseClock clock(TwoRecordings().recordings);  // 60 s and 30 s
  CHECK(CsvFromVisits(review, steps, clock) ==
        "step,name,start,end,taken_over,recording,ticks\r\n"
        "rhexis,Rhexis,0.000000,1.000000,,0,0\r\n"
        "side_port,Side port,1.234000,5.000000,,0,1234\r\n"
        "rhexis,Rhexis,5.000000,60.100000,yes,0,5000\r\n"
        "'=own,'=own,60.100000,90.000000,,1,100\r\n");
}

// 30000/1001 pictures a second: no start of a frame is a whole number of millionths.
TEST_CASE("A time in the table lies on its own frame, never on the one before") {
  CaseRecord record = TwoRecordings();
  RecordingShape& shape = record.recordings[0].shape;
  shape.time_base = {1, 30'000};
  shape.end = Pts{1001 * 900};
  record.recordings.resize(1);
  const CaseClock clock(record.recordings);
  Review review;
  for (int frame = 0; frame < 899; ++frame)
    review.visits.push_back({{"v"}, "s", 0, At(1001 * frame), At(1001 * (frame + 1)), "", false});
  const std::string table = CsvFromVisits(review, {}, clock);
  std::size_t line = table.find('\n') + 1;
  for (int frame = 0; frame < 899; ++frame, line = table.find('\n', line) + 1) {
    const std::string start = table.substr(line + 4, table.find(',', line + 4) - line - 4);
    const std::int64_t ticks = clock.At(std::stod(start)).pts.ticks;
    CHECK(ticks >= 1001 * frame);
    CHECK(ticks < 1001 * frame + 2);
  }
}
