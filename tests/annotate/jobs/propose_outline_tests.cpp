// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/propose_outline.hpp"
#include "annotate/jobs/scale_choice.hpp"
#include "metrics/phantom/phantom.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdint>
#include <numbers>
#include <vector>

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
  other.kind = MarkKind::kLabel;
  CHECK(ProposeOutline(record, {}, other, picture).error().code == ErrorCode::kBadCall);
  other = clicks;
  other.at = {0, {78}};
  CHECK(ProposeOutline(record, {}, other, picture).error().code == ErrorCode::kBadCall);
  other = clicks;
  other.points.resize(2);
  CHECK(ProposeOutline(record, {}, other, picture).error().code == ErrorCode::kBadCall);
  CHECK(ProposeOutline(record, {}, clicks, {}).error().code == ErrorCode::kBadCall);
}

namespace {

struct SizeAndPlace {
  PointSq centre;
  double diameter = 0;
};

// Of points evenly along an outline, in square pixels.
SizeAndPlace SizeOf(const phantom::Scene& scene, const std::vector<PointPx>& points) {
  SizeAndPlace out;
  const auto count = static_cast<double>(points.size());
  for (const PointPx p : points) out.centre = out.centre + (phantom::SqOf(scene, p) - PointSq{}) / count;
  for (const PointPx p : points) out.diameter += 2 * Distance(phantom::SqOf(scene, p), out.centre) / count;
  return out;
}

// A phantom's eye in pixels that are not square.
struct EyePicture {
  phantom::Phantom phantom{Wide()};
  double at = phantom.script().Step("rhexis")->end_s + 0.2;
  Picture picture;
  CaseRecord record;

  EyePicture() {
    phantom::Phantom::Brush brush;
    picture = phantom.Render(at, brush);
    picture.frame = {0, {77}};
    RecordingShape shape{{1, 25}, {0}, {1500}, picture.width, picture.height};
    shape.pixel_aspect = picture.pixel_aspect;
    record.recordings.push_back({"r.mp4", {}, shape});
  }
  static phantom::Scene Wide() {
    phantom::Scene scene = phantom::RandomScene(7203, phantom::Difficulty::kEasy);
    scene.pixel_aspect = {16, 15};
    return scene;
  }
  std::vector<PointPx> TrueOutline(MarkKind kind) const {
    const phantom::InstantTruth truth = phantom.Truth(at);
    const bool limbus = kind == MarkKind::kLimbus;
    const phantom::PolarShape shape =
        limbus ? phantom.scene().eye.Limbus() : phantom::PupilShape(phantom.scene(), truth.pupil_mm);
    std::vector<PointPx> out;
    for (int i = 0; i < 180; ++i)
      out.push_back(phantom::PxOf(phantom.scene(),
                                  truth.eye.Of(shape.At(i * std::numbers::pi / 90),
                                               limbus ? 1 : phantom.scene().eye.CapsuleMagnification())));
    return out;
  }
};

}  // namespace

TEST_CASE("Limbus and pupil are proposed without a click, or by one", "[jobs][propose]") {
  const EyePicture eye;
  const phantom::Scene& scene = eye.phantom.scene();
  for (const MarkKind kind : {MarkKind::kLimbus, MarkKind::kPupil}) {
    const std::vector<PointPx> outline = eye.TrueOutline(kind);
    const SizeAndPlace truth = SizeOf(scene, outline);
    const PointPx middle = phantom::PxOf(scene, truth.centre);
    for (const std::vector<PointPx>& clicks : {std::vector<PointPx>{},
                                               {middle},
                                               {outline[20]},
                                               {outline[0], outline[50], outline[110], outline[150]}}) {
      const Mark begun{MarkId{"m1"}, eye.picture.frame, kind, clicks, "words", {}};
      const auto proposed = ProposeOutline(eye.record, {}, begun, eye.picture);
      REQUIRE(proposed.ok());
      const Mark& mark = proposed->mark;
      CHECK(mark.id == begun.id);
      CHECK(mark.text == begun.text);
      REQUIRE(mark.points.size() == 12);
      const SizeAndPlace found = SizeOf(scene, mark.points);
      CHECK(found.diameter == Approx(truth.diameter).epsilon(0.02));
      CHECK(Distance(found.centre, truth.centre) < 0.02 * truth.diameter);
      CHECK(proposed->said.find("is found: its edge is seen along ") != std::string::npos);
    }
  }
}

TEST_CASE("A limbus that is proposed is a scale", "[jobs][propose]") {
  const EyePicture eye;
  const Mark begun{MarkId{"m1"}, eye.picture.frame, MarkKind::kLimbus, {}, {}, {}};
  const auto proposed = ProposeOutline(eye.record, {}, begun, eye.picture);
  REQUIRE(proposed.ok());
  Review review;
  review.marks = {proposed->mark};
  const auto scales = ResolveScales(eye.record, review, {});
  REQUIRE(scales.size() == 1);
  REQUIRE(scales[0].scale);
  // True of the phantom; within the limits that the usual size of an eye leaves (two standard deviations).
  const auto chosen = ChooseScale(scales, eye.picture.frame, Plane::kCornea, FactsOf(eye.record));
  REQUIRE(chosen);
  CHECK(chosen->mm_per_sq == Approx(1 / eye.phantom.Truth(eye.at).eye.px_per_mm).epsilon(0.08));
}

TEST_CASE("Where no limbus or pupil is seen, or another place is meant, none is proposed",
          "[jobs][propose]") {
  const EyePicture eye;
  Mark begun{MarkId{"m1"}, eye.picture.frame, MarkKind::kLimbus, {}, {}, {}};
  // Clicks in the picture's corner, where no eye is.
  begun.points = {{3, 3}};
  CHECK(ProposeOutline(eye.record, {}, begun, eye.picture).error().code == ErrorCode::kNotComputable);
  begun.points = {{-30, 3}};
  CHECK(ProposeOutline(eye.record, {}, begun, eye.picture).error().code == ErrorCode::kBadCall);
  begun.points.clear();
  Picture grey = eye.picture;
  const std::vector<std::uint8_t> bytes(grey.ByteSize(), 128);
  for (PlaneView& plane : grey.planes) plane.data = bytes.data();
  for (const MarkKind kind : {MarkKind::kLimbus, MarkKind::kPupil}) {
    begun.kind = kind;
    const auto refused = ProposeOutline(eye.record, {}, begun, grey);
    REQUIRE_FALSE(refused.ok());
    CHECK(refused.error().code == ErrorCode::kNotComputable);
    CHECK(refused.error().message.starts_with(kind == MarkKind::kLimbus ? "No limbus can be found"
                                                                        : "No pupil can be found"));
  }
}

}  // namespace afterscope
