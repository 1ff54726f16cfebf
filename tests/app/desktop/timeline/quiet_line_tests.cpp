// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/followed_lines.hpp"
#include "app/desktop/timeline/quiet_line.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

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

TEST_CASE("A pupil's line is scaled from half or whole millimetres to such, and broken where it was not seen",
          "[quiet]") {
  EyeOverTime eye;
  eye.pupil.unit = eye.off_centre.unit = "mm";
  eye.pupil.runs = {{{10, 6.86}, {10.2, 6.36}}, {{50, 4.2}, {50.2, 4.3}}};
  eye.off_centre.runs = {{{10, 1.5}, {10.2, 0.7}}};
  const QuietSeries pupil = PupilLine(eye);
  CHECK(pupil.runs.size() == 2);
  CHECK(QuietValueText(pupil, *QuietValueAt(pupil, 10.1)) == "6.9 mm");
  CHECK(QuietValueAt(pupil, 10.4) == 6.36);  // until the next one would come
  CHECK_FALSE(QuietValueAt(pupil, 10.5));
  CHECK_FALSE(QuietValueAt(pupil, 30));
  const QuietLayout layout = LayOutQuietLine(pupil, {0, 100, 0, 1000});
  CHECK(layout.lowest == 4);  // over a range of more than 2.5 mm
  CHECK(layout.highest == 7);
  REQUIRE(layout.rules.size() == 2);  // 5 and 6 mm
  CHECK(layout.rules[0] == Approx(1.0 / 3));
  CHECK(layout.columns.at(0).high == Approx((6.86 - 4) / 3));
  const auto after_gap = std::find_if(layout.columns.begin(), layout.columns.end(),
                                      [](const QuietColumn& c) { return c.x >= 500; });
  REQUIRE(after_gap != layout.columns.end());
  CHECK_FALSE(after_gap->joined);
  const QuietLayout off = LayOutQuietLine(OffCentreLine(eye), {0, 100, 0, 1000});
  CHECK(off.lowest == 0);
  CHECK(off.highest == 1.5);
  CHECK(off.rules.size() == 2);  // 0.5 and 1 mm
  eye.pupil.runs = {{{10, 6.9}, {10.2, 5.99}}};
  CHECK(LayOutQuietLine(PupilLine(eye), {0, 100, 0, 1000}).lowest == 5.5);
  CHECK(LayOutQuietLine(PupilLine(eye), {0, 100, 0, 1000}).highest == 7);
  eye.pupil.runs = {{{10, 6.1}, {10.2, 6.2}}};  // an even pupil is not blown up
  CHECK(LayOutQuietLine(PupilLine(eye), {0, 100, 0, 1000}).highest == 7);
  eye.pupil.runs = {{{10, 6.86}, {10.2, 4.2}}};
  eye.pupil.unit = "px";  // without a scale: as the values are
  CHECK(LayOutQuietLine(PupilLine(eye), {0, 100, 0, 1000}).lowest == 4.2);
  CHECK(QuietValueText(PupilLine(eye), 231.4) == "231 px");
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
