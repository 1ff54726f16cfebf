// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/outline_track.hpp"
#include "annotate/overlay/build_shapes.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

FrameRef AtMs(std::int64_t ms) { return {0, {ms}}; }

CaseRecord OneRecordingInMs() {
  CaseRecord record;
  record.recordings.emplace_back();
  RecordingShape& shape = record.recordings[0].shape;
  shape.time_base = {1, 1000};
  shape.end = {10'000};
  shape.width = 640;
  shape.height = 480;
  return record;
}

Mark Limbus(std::int64_t ms, PointPx centre) {
  Mark mark{MarkId{"m" + std::to_string(ms)}, AtMs(ms), MarkKind::kLimbus, {}, {}, {}};
  for (int i = 0; i < 24; ++i) {
    const double angle = 2 * std::numbers::pi * i / 24;
    mark.points.push_back({centre.x + 120 * std::cos(angle), centre.y + 120 * std::sin(angle)});
  }
  return mark;
}

std::vector<PolylineShape> TrailLines(const CaseRecord& record, const Review& review, FrameRef at) {
  std::vector<PolylineShape> lines;
  for (const Shape& shape : BuildShapes(record, review, at, OverlayOptions{}))
    if (const auto* line = std::get_if<PolylineShape>(&shape); line && line->role == Role::kTrail)
      lines.push_back(*line);
  return lines;
}

}  // namespace

TEST_CASE("The eye's way lies between the frames on which it is marked", "[outline_track]") {
  const CaseRecord record = OneRecordingInMs();
  Review review;
  review.marks = {Limbus(1000, {300, 200}), Limbus(3000, {340, 210})};
  const auto track = OutlineTrack::Of(record, review, 0, 1.0, 3.0);
  REQUIRE(track);
  CHECK(track->At(2.0).x == Approx(320).margin(1e-6));
  CHECK(track->At(2.0).y == Approx(205).margin(1e-6));
  CHECK(track->At(0.0).x == Approx(300).margin(1e-6));
  CHECK(track->At(9.0).x == Approx(340).margin(1e-6));
}

TEST_CASE("An eye that is not marked round the stretch has no way", "[outline_track]") {
  const CaseRecord record = OneRecordingInMs();
  Review review;
  CHECK_FALSE(OutlineTrack::Of(record, review, 0, 1, 2));
  review.marks = {Limbus(1000, {300, 200})};
  CHECK_FALSE(OutlineTrack::Of(record, review, 0, 1, 2));
  review.marks.push_back(Limbus(2000, {300, 200}));
  CHECK(OutlineTrack::Of(record, review, 0, 1, 2));
  CHECK_FALSE(OutlineTrack::Of(record, review, 0, 1, 5));
  CHECK_FALSE(OutlineTrack::Of(record, review, 7, 1, 2));
  CHECK_FALSE(OutlineTrack::Of(record, review, -1, 1, 2));
}

TEST_CASE("A tip that goes with the eye leaves no way behind it", "[outline_track]") {
  const CaseRecord record = OneRecordingInMs();
  Review review;
  review.marks = {Limbus(1000, {300, 200}), Limbus(3000, {340, 210})};
  Trail trail{TrailId{"t"}, "forceps", "main", {}, {}};
  for (std::int64_t ms = 1000; ms <= 3000; ms += 100) {
    const double share = static_cast<double>(ms - 1000) / 2000;
    trail.points.push_back({AtMs(ms), {310 + 40 * share, 190 + 10 * share}, TrailSource::kHand, 1});
  }
  review.trails = {trail};
  const auto lines = TrailLines(record, review, AtMs(3000));
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].style == LineStyle::kSolid);
  for (const PointSq p : lines[0].points) {
    CHECK(p.x == Approx(350).margin(1e-6));
    CHECK(p.y == Approx(200).margin(1e-6));
  }
  review.marks.clear();  // the eye's way is not known: as it was in the picture, and dashed
  const auto raw = TrailLines(record, review, AtMs(3000));
  REQUIRE(raw.size() == 1);
  CHECK(raw[0].style == LineStyle::kDashed);
  CHECK(raw[0].points.front().x == Approx(310).margin(1e-6));
}

}  // namespace afterscope
