// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <random>

namespace afterscope {
namespace {

constexpr int kSeconds = 12, kRate = 25;

// There and back along a line of 200 pixels in four seconds, with a small error of its own on every frame and
// one that is shared over about a second.
Trail ThereAndBack(std::mt19937_64& random, TrailSource source, double shared_sd) {
  std::normal_distribution<double> normal;
  Trail out;
  out.id = {"t1"};
  OffsetPx shared{shared_sd * normal(random), shared_sd * normal(random)};
  for (int i = 0; i < kSeconds * kRate; ++i) {
    const double kept = std::exp(-1.0 / kRate), fresh = shared_sd * std::sqrt(1 - kept * kept);
    shared = kept * shared + OffsetPx{fresh * normal(random), fresh * normal(random)};
    const double x = 640 - 100 * std::cos(2 * 3.14159265 * i / kRate / 4);
    const double dx = 0.3 * normal(random), dy = 0.3 * normal(random);
    out.points.push_back({{0, {i}}, {x + shared.x + dx, 360 + shared.y + dy}, source, 1});
  }
  return out;
}

Estimate LengthOf(const Trail& trail, double marking_sd_px) {
  CaseRecord record;
  record.recordings.push_back({"r.mp4", {}, {{1, 25}, {0}, {500}, 1280, 720, {1, 1}, 0, true}});
  Review review;
  review.trails = {trail};
  MeasureOptions options;
  options.marking_sd_px = marking_sd_px;
  for (const Finding& f : MeasureReview(record, review, {}, options))
    if (f.name == "path.length.as_seen" && f.measured.estimate) return *f.measured.estimate;
  FAIL("no path");
  return {};
}

}  // namespace

// 200 pixels each way, six times: 1200 within 4 Hz (the motion lies at a quarter of one).
TEST_CASE("The limits of a followed path hold the error that its places share", "[jobs][follow]") {
  std::mt19937_64 random(11);
  int held = 0, held_as_set = 0;
  for (int i = 0; i < 20; ++i) {
    const Estimate followed = LengthOf(ThereAndBack(random, TrailSource::kFollowed, 1.3), 1.5);
    held += followed.low <= 1200 && 1200 <= followed.high;
    // As if it had no shared error: set by hand with the same error of each place.
    const Estimate as_set = LengthOf(ThereAndBack(random, TrailSource::kHand, 1.3), 0.3);
    held_as_set += as_set.low <= 1200 && 1200 <= as_set.high;
  }
  CHECK(held >= 17);  // of 20 at 95 %, fewer in 1 of 60 runs (binomial)
  CHECK(held_as_set < held);
}

}  // namespace afterscope
