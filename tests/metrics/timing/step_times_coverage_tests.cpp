// SPDX-License-Identifier: Apache-2.0
#include "metrics/timing/step_times.hpp"
#include "tests/support/coverage_tally.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

using coverage::Even;
using coverage::RandomBits;
using coverage::Tally;

// One operation: visits as they truly were, and as they are tagged, each boundary on the first frame that
// shows it.
struct Tagged {
  std::vector<TimedVisit> truth, tags;
};

Tagged DrawOperation(RandomBits& random) {
  const double rates[] = {25, 30000.0 / 1001, 50, 60};
  const double frame = 1 / rates[std::uniform_int_distribution<int>(0, 3)(random)];
  const double phase = Even(random, 0, frame);
  const auto tagged = [&](double t) { return phase + std::ceil((t - phase) / frame) * frame; };
  const char* const steps[] = {"rhexis", "phaco", "cortex", "lens"};
  Tagged out;
  double at = Even(random, 1, 3);
  for (int i = 0; i < 8; ++i) {
    TimedVisit visit;
    visit.step = steps[std::uniform_int_distribution<int>(0, 3)(random)];
    visit.taken_over = Even(random, 0, 1) < 0.3;
    visit.operator_code = visit.taken_over ? "s1" : "t1";
    visit.seconds = {at, at + Even(random, 2, 30)};
    at = visit.seconds.end + (Even(random, 0, 1) < 0.5 ? 0 : Even(random, 0.3, 6));
    TimedVisit tag = visit;
    tag.seconds = {tagged(visit.seconds.start), tagged(visit.seconds.end)};
    tag.frame = frame;
    out.truth.push_back(visit);
    out.tags.push_back(tag);
  }
  return out;
}

void AddOperation(RandomBits& random, Tally& tally) {
  const Tagged one = DrawOperation(random);
  double total = 0, longest = 0, first = -1, sum = 0, own = 0, gaps = 0, gap_longest = 0, before = 0;
  for (const TimedVisit& v : one.truth) {
    const double length = v.seconds.end - v.seconds.start;
    sum += length;
    own += v.operator_code == "t1" ? length : 0;
    if (before > 0) gaps += v.seconds.start - before;
    if (before > 0) gap_longest = std::max(gap_longest, v.seconds.start - before);
    before = v.seconds.end;
    if (v.step != "phaco") continue;
    total += length;
    longest = std::max(longest, length);
    if (first < 0) first = v.seconds.start;
  }
  if (const auto step = MeasureStep(one.tags, "phaco", std::nullopt)) {
    tally.Add("time.step_total", step->total, total);
    tally.Add("time.step_longest", step->longest, longest);
    tally.Add("time.step_first_start", step->first_start, first);
  }
  if (const auto who = MeasureOperator(one.tags, "t1")) {
    tally.Add("time.operator_total", who->total, own);
    if (own < sum) tally.Add("time.operator_share", who->share, own / sum);
  }
  const WholeTimes whole = MeasureWhole(one.tags).value();
  tally.Add("time.whole", whole.whole, before - one.truth.front().seconds.start);
  if (gaps > 0) tally.Add("time.gaps_total", whole.gaps_total, gaps);
  if (gaps > 0) tally.Add("time.gap_longest", whole.gap_longest, gap_longest);
}

Tally TallyOperations(int operations) {
  RandomBits random(31);
  Tally tally;
  for (int i = 0; i < operations; ++i) AddOperation(random, tally);
  return tally;
}

}  // namespace

// Fast enough to be run in full by default.
TEST_CASE("Limits of times hold the truth in 93 to 97 of 100 operations", "[timing][coverage]") {
  const Tally tally = TallyOperations(2 * coverage::kMany);
  INFO(tally.Text());
  CHECK(tally.OutsideContinuous({"time.step_total", "time.step_first_start", "time.operator_total",
                                 "time.operator_share", "time.whole", "time.gaps_total"}) == "");
  CHECK(tally.BelowLeast({"time.step_longest", "time.gap_longest"}) == "");
}

}  // namespace afterscope
