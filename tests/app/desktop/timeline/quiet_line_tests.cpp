// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/quiet_line.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

CaseRecord Record() {
  CaseRecord record;
  record.recordings.resize(1);
  record.recordings[0].shape = {{1, 100}, Pts{0}, Pts{10000}, 1000, 500, {1, 1}, 0, true};
  return record;
}

FrameRef AtSeconds(double seconds) { return {0, Pts{static_cast<std::int64_t>(seconds * 100 + 0.5)}}; }

Moment Set(double seconds, const char* key, const char* value) {
  Moment moment;
  moment.at = AtSeconds(seconds);
  moment.kind = MomentKind::kSettings;
  moment.fields = {{key, value}};
  return moment;
}

}  // namespace

TEST_CASE("A tip that moves evenly has that speed, in picture heights a second", "[quiet]") {
  const CaseRecord record = Record();
  Review review;
  Trail trail;
  for (int i = 0; i < 100; ++i)  // 250 px/s in a picture of 500: half a height a second
    trail.points.push_back({AtSeconds(0.04 * i), {10.0 * i, 0}, TrailSource::kHand, 1});
  review.trails = {trail};
  const QuietSeries series = TipSpeed(record, review, CaseClock(record.recordings));
  REQUIRE(series.runs.size() == 1);
  for (const QuietSample& sample : series.runs[0]) CHECK(sample.value == Approx(0.5));
  CHECK_FALSE(QuietValueAt(series, 50));
}

TEST_CASE("A trail is broken where its points are far apart in time or the tip is out of the eye",
          "[quiet]") {
  const CaseRecord record = Record();
  Review review;
  Trail trail;
  for (int i = 0; i < 20; ++i) trail.points.push_back({AtSeconds(0.04 * i), {0, 0}, TrailSource::kHand, 1});
  for (int i = 0; i < 20; ++i)
    trail.points.push_back({AtSeconds(10 + 0.04 * i), {0, 0}, TrailSource::kHand, 1});
  review.trails = {trail};
  CHECK(TipSpeed(record, review, CaseClock(record.recordings)).runs.size() == 2);
  review.trails[0].gaps = {{{AtSeconds(10.38), AtSeconds(10.42)}, true}};
  CHECK(TipSpeed(record, review, CaseClock(record.recordings)).runs.size() == 3);
}

TEST_CASE("A setting holds until the next one, and nothing is known before the first", "[quiet]") {
  const CaseRecord record = Record();
  Review review;
  review.moments = {Set(10, "vacuum_mmhg", "90"), Set(20, "power_pct", "50"), Set(40, "vacuum_mmhg", "360")};
  const QuietSeries series =
      SettingOverTime(review, CaseClock(record.recordings), "vacuum_mmhg", "Vacuum", "mmHg");
  CHECK_FALSE(QuietValueAt(series, 5));
  CHECK(QuietValueAt(series, 10) == 90.0);
  CHECK(QuietValueAt(series, 39) == 90.0);
  CHECK(QuietValueAt(series, 99) == 360.0);
  const QuietLayout layout = LayOutQuietLine(series, {0, 100, 0, 1000});
  REQUIRE(layout.levels.size() == 2);
  CHECK(layout.levels[0].left == Approx(100));
  CHECK(layout.levels[0].right == Approx(400));
  CHECK(layout.levels[0].level == Approx(0.25));  // of the range from 0 to the largest
  CHECK(layout.levels[1].right == Approx(1000));
  CHECK(layout.highest == 360);
}

TEST_CASE("What falls on one pixel is one column from its lowest to its highest", "[quiet]") {
  QuietSeries series{"x", "", false, {{}}};
  for (int i = 0; i <= 100; ++i) series.runs[0].push_back({i * 0.1, i % 2 == 0 ? 0.0 : 1.0});
  const QuietLayout layout = LayOutQuietLine(series, {0, 10, 0, 10});
  CHECK(layout.columns.size() == 11);
  CHECK(layout.columns[3].low == 0);
  CHECK(layout.columns[3].high == 1);
  CHECK_FALSE(layout.columns[0].joined);
  CHECK(layout.columns[3].joined);
  CHECK(LayOutQuietLine({}, {0, 10, 0, 10}).columns.empty());
}

}  // namespace afterscope
