// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"
#include "annotate/jobs/measure/marking_repeats.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <random>

namespace afterscope {
namespace {

using std::numbers::pi;

CaseRecord Record() {
  CaseRecord record;
  record.recordings.push_back({"r.mp4", {}, {{1, 25}, {0}, {5000}, 1280, 720, {1, 1}, 0, true}});
  return record;
}

// An oval marked with those errors, standard deviations.
Mark Marked(std::mt19937_64& random, const std::string& id, int frame, double point_sd, double shared_sd) {
  std::normal_distribution<double> normal;
  const double shared = shared_sd * normal(random);
  Mark out{MarkId{id}, {0, {frame}}, MarkKind::kRhexis, {}, {}, {}};
  for (int i = 0; i < 24; ++i) {
    const double a = 2 * pi * (i + 0.3 * normal(random)) / 24, r = 130 + 6 * std::cos(2 * a) + shared;
    const double dx = point_sd * normal(random);
    out.points.push_back({640 + r * std::cos(a) + dx, 360 + r * std::sin(a) + point_sd * normal(random)});
  }
  return out;
}

}  // namespace

TEST_CASE("Repeated outlines give back the errors that they were made with", "[jobs][repeats]") {
  std::mt19937_64 random(5);
  Review review;
  for (int frame = 0; frame < 300; ++frame)
    for (const char* id : {"a", "b", "c"}) review.marks.push_back(Marked(random, id, frame, 3, 2));
  const MarkingRepeats repeats = FindRepeats(Record(), {&review});
  CHECK(repeats.outlines == 600);
  const MarkingError error = ErrorFromRepeats({1.5, 1.0}, repeats);
  CHECK(error.point_sd == Approx(3).epsilon(0.02));
  CHECK(error.shared_sd == Approx(2).epsilon(0.08));
}

TEST_CASE("Without repeats the usual error stands; few of them count beside it", "[jobs][repeats]") {
  std::mt19937_64 random(6);
  Review one, other;
  one.marks.push_back(Marked(random, "a", 1, 3, 2));
  MarkingError error = ErrorFromRepeats({1.5, 1.0}, FindRepeats(Record(), {&one}));
  CHECK(error.point_sd == Approx(1.5));
  CHECK(error.shared_sd == Approx(1.0));
  CHECK(SayMarkingError(error, FindRepeats(Record(), {&one})).empty());
  // A copy, as in the next version of a review, is no repeat.
  other.marks = one.marks;
  CHECK(FindRepeats(Record(), {&one, &other}).outlines == 0);
  other.marks = {Marked(random, "b", 1, 3, 2), Marked(random, "c", 2, 3, 2)};
  const MarkingRepeats repeats = FindRepeats(Record(), {&one, &other});
  CHECK(repeats.outlines == 1);
  CHECK(repeats.shared_degrees == 1);
  error = ErrorFromRepeats({1.5, 1.0}, repeats);
  CHECK(error.point_sd > 2);
  CHECK(error.shared_sd == Approx(std::sqrt((4 + std::max(0.0, repeats.shared_squares)) / 5)));
}

TEST_CASE("Tips set again on the same frame count along both axes", "[jobs][repeats]") {
  Review one, other;
  one.id = {"r1"}, other.id = {"r2"};
  Trail trail;
  trail.id = {"t1"};
  trail.instrument = "forceps";
  trail.hand = "main";
  trail.points = {{{0, {1}}, {100, 100}, TrailSource::kHand, 1},
                  {{0, {2}}, {100, 100}, TrailSource::kFollowed, 1}};
  one.trails = {trail};
  trail.points = {{{0, {1}}, {104, 98}, TrailSource::kHand, 1}, {{0, {2}}, {110, 98}, TrailSource::kHand, 1}};
  other.trails = {trail};
  const MarkingRepeats repeats = FindRepeats(Record(), {&one, &other});
  CHECK(repeats.tips == 1);
  CHECK(repeats.point_degrees == 2);
  CHECK(repeats.point_squares == Approx((16 + 4) / 2.0));  // half of the square of their distance
}

TEST_CASE("What the next version of a review moved is not marked again", "[jobs][repeats]") {
  std::mt19937_64 random(8);
  Review first, next, other;
  first.id = {"r1"}, next.id = {"r1-v2"}, other.id = {"r2"};
  next.version = 2, next.version_of = first.id;
  first.marks = {Marked(random, "m1", 1, 3, 2)};
  next.marks = first.marks;
  next.marks[0].points[0].x += 0.5;
  Trail trail;
  trail.id = {"t1"};
  trail.points = {{{0, {1}}, {100, 100}, TrailSource::kHand, 1}};
  first.trails = next.trails = {trail};
  next.trails[0].points[0].tip.x += 0.5;
  for (const auto& reviews : {std::vector<const Review*>{&first, &next}, {&next, &first}}) {
    const MarkingRepeats repeats = FindRepeats(Record(), reviews);
    CHECK(repeats.outlines == 0);
    CHECK(repeats.tips == 0);
  }
  // Another's is a repeat of one of them: of the one that is measured, else of the newest.
  other.marks = {Marked(random, "m1", 1, 3, 2)};
  const auto squares = [&](const std::vector<const Review*>& reviews) {
    const MarkingRepeats repeats = FindRepeats(Record(), reviews);
    CHECK(repeats.outlines == 1);
    return repeats.point_squares;
  };
  CHECK(squares({&next, &other, &first}) == Approx(squares({&other, &first})));
  CHECK(squares({&first, &next, &other}) == Approx(squares({&next, &other})));
  CHECK(squares({&first, &other}) != Approx(squares({&next, &other})));
}

TEST_CASE("Limits follow how well marks are repeated, and say so", "[jobs][repeats]") {
  std::mt19937_64 random(7);
  Review review;
  review.marks.push_back(Marked(random, "m1", 1, 4, 3));
  MeasureOptions options;
  options.simulations = 200;
  const auto width = [&](const std::vector<Finding>& findings, bool said) {
    for (const Finding& f : findings)
      if (f.name == "rhexis.diameter_equivalent.as_seen") {
        CHECK((f.measured.method.find("marked again") != std::string::npos) == said);
        return f.measured.estimate->high - f.measured.estimate->low;
      }
    return 0.0;
  };
  const double usual = width(MeasureReview(Record(), review, {}, options), false);
  Review other;
  for (int i = 0; i < 20; ++i) other.marks.push_back(Marked(random, fmt::format("n{}", i), 1, 4, 3));
  options.others = {&other};
  const double repeated = width(MeasureReview(Record(), review, {}, options), true);
  // Twice the root of (3^2 + 4^2 / 24) shared instead of 1^2 + 1.5^2 / 24.
  CHECK(repeated / usual == Approx(std::sqrt((9 + 16 / 24.0) / (1 + 2.25 / 24))).epsilon(0.3));
}

TEST_CASE("Degenerate: repeats that can't be fitted count as none", "[jobs][repeats]") {
  Review review;
  Mark line{MarkId{"m1"}, {0, {1}}, MarkKind::kRhexis, {}, {}, {}};
  for (int i = 0; i < 8; ++i) line.points.push_back({10.0 * i, 5});
  review.marks = {line, line};
  review.marks[1].points[0].x = 3;
  Mark few{MarkId{"m2"}, {0, {2}}, MarkKind::kRhexis, {{0, 0}, {10, 0}, {10, 10}}, {}, {}};
  review.marks.push_back(few);
  review.marks.push_back(few);
  CHECK(FindRepeats(Record(), {&review}).outlines == 0);
  CHECK(FindRepeats({}, {}).outlines == 0);
}

}  // namespace afterscope
