// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/held_marks.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace afterscope {
namespace {

FrameRef AtMs(std::int64_t milliseconds) { return {0, Pts{milliseconds}}; }

CaseRecord OneRecording() {
  CaseRecord record;
  RecordingRef recording;
  recording.shape.end = Pts{10'000};
  recording.shape.width = recording.shape.height = 400;
  record.recordings = {recording};
  return record;
}

// A circle of twelve points.
Mark Circle(const char* id, MarkKind kind, std::int64_t at, double x, double radius) {
  Mark mark;
  mark.id = MarkId{id};
  mark.kind = kind;
  mark.at = AtMs(at);
  for (int i = 0; i < 12; ++i) {
    const double angle = i * std::acos(-1.0) / 6;
    mark.points.push_back({x + radius * std::cos(angle), 200 + radius * std::sin(angle)});
  }
  return mark;
}

const Mark& Find(const Review& review, const char* id) {
  for (const Mark& mark : review.marks)
    if (mark.id == MarkId{id}) return mark;
  throw std::runtime_error("no such mark");
}

double MiddleX(const Mark& mark) {
  double sum = 0;
  for (const PointPx point : mark.points) sum += point.x;
  return sum / static_cast<double>(mark.points.size());
}

}  // namespace

TEST_CASE("What is marked on one frame stays in a clip for two seconds, and moves with the eye", "[clip]") {
  const CaseRecord record = OneRecording();
  Review review;
  // The eye moves by 20 pixels in two seconds, evenly.
  review.marks = {Circle("l1", MarkKind::kLimbus, 1000, 200, 90),
                  Circle("r", MarkKind::kRhexis, 1000, 200, 30),
                  Circle("l2", MarkKind::kLimbus, 3000, 220, 90)};

  const Review same = HeldMarks(record, review, AtMs(1000));
  CHECK(same == review);

  const Review later = HeldMarks(record, review, AtMs(2000));
  CHECK(Find(later, "r").at == AtMs(2000));
  CHECK(MiddleX(Find(later, "r")) == Approx(210).margin(0.1));
  CHECK(Find(later, "l1").at == AtMs(2000));
  CHECK(Find(later, "l2").at == AtMs(3000));

  const Review over = HeldMarks(record, review, AtMs(3500));
  CHECK(Find(over, "r") == Find(review, "r"));
  CHECK(Find(over, "l2").at == AtMs(3500));
}

TEST_CASE("Where the eye's movement is not known a held mark stays where it was; covers are not held",
          "[clip]") {
  const CaseRecord record = OneRecording();
  Review review;
  review.marks = {Circle("r", MarkKind::kRhexis, 1000, 200, 30), Circle("c", MarkKind::kCover, 1000, 50, 20)};
  const Review later = HeldMarks(record, review, AtMs(2500));
  CHECK(Find(later, "r").points == Find(review, "r").points);
  CHECK(Find(later, "r").at == AtMs(2500));
  CHECK(Find(later, "c") == Find(review, "c"));
  CHECK(HeldMarks(record, review, FrameRef{3, Pts{0}}) == review);  // a recording that the case does not have
}

}  // namespace afterscope
