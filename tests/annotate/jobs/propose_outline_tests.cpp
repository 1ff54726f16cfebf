// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/propose_outline.hpp"
#include "metrics/phantom/phantom.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <numbers>

namespace afterscope {

TEST_CASE("An outline is proposed round the clicks, which stay as they are", "[jobs][propose]") {
  const phantom::Phantom phantom(phantom::RandomScene(7201, phantom::Difficulty::kEasy));
  phantom::Phantom::Brush brush;
  const double at = phantom.script().Step("rhexis")->end_s + 0.2;
  Picture picture = phantom.Render(at, brush);
  picture.frame = {0, {77}};
  CaseRecord record;
  record.eye = Eye::kRight;
  record.seat_clock_hour = 12;
  record.recordings.push_back(
      {"r.mp4", {}, {{1, 25}, {0}, {1500}, picture.width, picture.height, {1, 1}, 0, true}});
  const phantom::Scene& scene = phantom.scene();
  Mark clicks{MarkId{"m1"}, picture.frame, MarkKind::kRhexis, {}, {}, {{"stage", "completion"}}};
  for (const double degrees : {20, 110, 190, 290})
    clicks.points.push_back(
        phantom::PxOf(scene, phantom.Truth(at).eye.Of(scene.rhexis.At(degrees * std::numbers::pi / 180),
                                                      scene.eye.CapsuleMagnification())));
  const auto proposed = ProposeOutline(record, {}, clicks, picture);
  REQUIRE(proposed.ok());
  const Mark& mark = proposed->mark;
  CHECK(mark.id == clicks.id);
  CHECK(mark.fields == clicks.fields);
  CHECK(mark.points.size() >= 30);
  CHECK(mark.points.front() == clicks.points.front());
  for (const PointPx click : clicks.points)
    CHECK(std::find(mark.points.begin(), mark.points.end(), click) != mark.points.end());
  CHECK(proposed->said.starts_with("The edge is seen at "));

  Mark other = clicks;
  other.kind = MarkKind::kLimbus;
  CHECK(ProposeOutline(record, {}, other, picture).error().code == ErrorCode::kBadCall);
  other = clicks;
  other.at = {0, {78}};
  CHECK(ProposeOutline(record, {}, other, picture).error().code == ErrorCode::kBadCall);
  other = clicks;
  other.points.resize(2);
  CHECK(ProposeOutline(record, {}, other, picture).error().code == ErrorCode::kBadCall);
  CHECK(ProposeOutline(record, {}, clicks, {}).error().code == ErrorCode::kBadCall);
}

}  // namespace afterscope
