// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"
#include "annotate/jobs/measure/tip_map.hpp"
#include "tests/annotate/jobs/coverage/coverage_support.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

// Ten seconds at 25 frames a second; the eye moves 50 pixels to the right in that time.
constexpr double kRadius = 200, kMoved = 50;
PointPx Centre(double seconds) { return {500 + kMoved * seconds / 10, 360}; }

CaseRecord TenSeconds() {
  CaseRecord record;
  record.recordings.push_back({"r.mp4", {}, {{1, 25}, {0}, {250}, 1280, 720, {1, 1}, 0, true}});
  return record;
}

// Limbus outlines at the start and the end; an oval one, 0.9 as high as it is wide.
Review MarkedEyeAndSteps() {
  Review review;
  for (const std::int64_t frame : {0, 249}) {
    Mark limbus{MarkId{frame == 0 ? "a" : "b"}, {0, {frame}}, MarkKind::kLimbus, {}, {}, {}};
    for (int i = 0; i < 24; ++i) {
      const double turn = 2 * std::numbers::pi * i / 24;
      const PointPx c = Centre(static_cast<double>(frame) / 25);
      limbus.points.push_back({c.x + kRadius * std::cos(turn), c.y + 0.9 * kRadius * std::sin(turn)});
    }
    review.marks.push_back(std::move(limbus));
  }
  review.visits = {{VisitId{"v1"}, "rhexis", 0, {0, {0}}, FrameRef{0, {100}}, "", false},
                   {VisitId{"v2"}, "fragment_removal", 0, {0, {100}}, FrameRef{0, {250}}, "", false}};
  return review;
}

// Right of the eye's centre by `right` pixels for four seconds, then by `far`; three seconds from 7 s on
// below it.
Trail RightThenBelow(double right, double far, double below) {
  Trail trail{TrailId{"t1"}, "phaco tip", "main", {}, {}};
  for (std::int64_t frame = 0; frame < 250; ++frame) {
    PointPx at = Centre(static_cast<double>(frame) / 25);
    if (frame < 175)
      at.x += frame < 100 ? right : far;
    else
      at.y += below;
    trail.points.push_back({{0, {frame}}, at, TrailSource::kHand});
  }
  return trail;
}

StepList Phaco(double tip_within) {
  StepList steps;
  steps.steps = {{"rhexis", "Rhexis", "r", false, 0},
                 {"fragment_removal", "Fragment removal", "f", false, tip_within}};
  return steps;
}

std::vector<Finding> Outside(const Review& review, const StepList& steps) {
  MeasureOptions options;
  options.simulations = 100;
  std::vector<Finding> out;
  for (Finding& finding : MeasureReview(TenSeconds(), review, steps, options))
    if (finding.name == "path.outside_centre") out.push_back(std::move(finding));
  return out;
}

}  // namespace

TEST_CASE("Time outside the central zone counts in the steps that need the tip inside", "[jobs]") {
  Review review = MarkedEyeAndSteps();
  // In the second step three seconds at 130 of 200 pixels (outside of half), then three at 80 of 180
  // (inside).
  review.trails = {RightThenBelow(150, 130, 80)};
  const auto found = Outside(review, Phaco(0.5));
  REQUIRE(found.size() == 1);
  CHECK(found[0].step == "fragment_removal");
  REQUIRE(found[0].measured.estimate);
  const Estimate& e = *found[0].measured.estimate;
  CHECK(e.value == Approx(3).margin(0.05));
  CHECK(e.low <= 3);
  CHECK(e.high >= 3);
  CHECK(e.high < 3.2);
  // Below by 95 of 180 is outside, though 95 right of a circle of 200 would not be.
  review.trails = {RightThenBelow(0, 95, 95)};
  const auto oval = Outside(review, Phaco(0.5));
  CHECK(oval.at(0).measured.estimate->value == Approx(3).margin(0.05));
  // A wider zone; none at all; the other hand's instrument.
  CHECK(Outside(review, Phaco(0.6)).at(0).measured.estimate->value == 0);
  CHECK(Outside(review, Phaco(0)).empty());
  review.trails[0].hand = "other";
  CHECK(Outside(review, Phaco(0.5)).empty());
}

TEST_CASE("Time outside the central zone is not told where the eye is not known", "[jobs]") {
  Review review = MarkedEyeAndSteps();
  review.marks.pop_back();
  review.trails = {RightThenBelow(0, 130, 80)};
  const auto found = Outside(review, Phaco(0.5));
  REQUIRE(found.size() == 1);
  CHECK_FALSE(found[0].measured.estimate);
  CHECK_FALSE(found[0].measured.cautions.empty());
  CHECK(MapTips(TenSeconds(), review, {}).empty());
}

TEST_CASE("A map of the tip lies where it was in the eye, a step each", "[jobs]") {
  Review review = MarkedEyeAndSteps();
  review.trails = {RightThenBelow(60, 130, 80)};
  const auto maps = MapTips(TenSeconds(), review, {});
  REQUIRE(maps.size() == 2);
  CHECK(maps[0].step == "rhexis");
  CHECK(maps[0].seconds == Approx(4).margin(0.05));
  CHECK(maps[1].seconds == Approx(6).margin(0.05));
  REQUIRE(maps[0].regions.size() == 3);
  // Still in the eye's frame: one round spot of the kernel's own size, over the eye of the frame in the
  // middle.
  const double seconds = static_cast<double>(maps[0].at.pts.ticks) / 25;
  CHECK(seconds == Approx(2).margin(0.1));
  REQUIRE(maps[0].regions[0].outlines.size() == 1);
  const double radius = kTipMapSpread * kRadius * std::sqrt(2 * std::log(2.0));
  for (const PointSq p : maps[0].regions[0].outlines[0]) {
    CHECK(std::abs(p.x - Centre(seconds).x - 60) < radius + 2);
    CHECK(std::abs(p.y - 360) < radius + 2);
  }
  // The way is still too, one stretch; the limbus is the oval that was marked.
  REQUIRE(maps[0].ways.size() == 1);
  for (const PointSq p : maps[0].ways[0]) CHECK(p.x == Approx(Centre(seconds).x + 60).margin(2));
  for (const PointSq p : maps[0].limbus) {
    const double x = (p.x - Centre(seconds).x) / kRadius, y = (p.y - 360) / (0.9 * kRadius);
    CHECK(std::hypot(x, y) == Approx(1).margin(0.02));
  }
  // Two places, half of the time each.
  CHECK(maps[1].regions[2].outlines.size() == 2);
}

// A tip that wanders round a place of the eye, in and out of half the limbus' radius.
class Wander {
 public:
  Wander(coverage::RandomBits& random, double radius)
      : middle_{coverage::Normal(random, 0, 0.25 * radius), coverage::Normal(random, 0, 0.25 * radius)} {
    for (Wave& wave : waves_)
      wave = {coverage::Even(random, 0.05, 1.5), coverage::Normal(random, 0, 0.2 * radius),
              coverage::Normal(random, 0, 0.2 * radius), coverage::Even(random, 0, 6.28)};
  }
  OffsetSq At(double seconds) const {
    OffsetSq out = middle_;
    for (const Wave& w : waves_) {
      const double turn = 2 * std::numbers::pi * w.hz * seconds + w.phase;
      out = out + OffsetSq{w.x * std::cos(turn), w.y * std::sin(turn)};
    }
    return out;
  }

 private:
  struct Wave {
    double hz = 0, x = 0, y = 0, phase = 0;
  };
  OffsetSq middle_;
  Wave waves_[4];
};

// How often the limits hold the truth: tip and limbus marked with the errors
// that limits take by default, the eye moving evenly between its two marks.
void TryZoneLimits(int reviews) {
  coverage::RandomBits random(31);
  coverage::Tally tally;
  for (int n = 0; n < reviews; ++n) {
    const double px_per_mm = coverage::Even(random, 22, 70), radius = 5.85 * px_per_mm;
    const OffsetSq drift{coverage::Normal(random, 0, px_per_mm), coverage::Normal(random, 0, px_per_mm)};
    const PointSq start{640, 360};
    const auto centre = [&](double seconds) { return start + (seconds / 10) * drift; };
    const Wander way(random, radius);
    Review review = MarkedEyeAndSteps();
    review.marks.clear();
    for (const std::int64_t frame : {0, 249}) {
      const PointSq c = centre(static_cast<double>(frame) / 25);
      review.marks.push_back(coverage::MarkOutline(random, frame == 0 ? "a" : "b", MarkKind::kLimbus,
                                                   {0, {frame}}, {{}, 5.85, {}, {}}, {{c.x, c.y}, px_per_mm},
                                                   12));
    }
    review.visits = {{VisitId{"v1"}, "fragment_removal", 0, {0, {0}}, FrameRef{0, {250}}, "", false}};
    Trail trail{TrailId{"t1"}, "phaco tip", "main", {}, {}};
    double outside = 0;
    for (int i = 0; i <= 2490; ++i) {  // ten instants a frame
      const OffsetSq in_eye = way.At(i / 250.0);
      if (i < 2490 && in_eye.Length() > 0.5 * radius) outside += 1.0 / 250;
      if (i % 10 != 0) continue;
      const PointSq at = centre(i / 250.0) + in_eye;
      trail.points.push_back(
          {{0, {i / 10}},
           {at.x + coverage::Normal(random, 0, 1.5), at.y + coverage::Normal(random, 0, 1.5)},
           TrailSource::kHand});
    }
    review.trails = {trail};
    const auto found = Outside(review, Phaco(0.5));
    REQUIRE(found.size() == 1);
    tally.Add("path.outside_centre", found[0].measured.estimate, outside);
  }
  INFO(tally.Text());
  CHECK(tally.BelowLeast({"path.outside_centre"}).empty());
  if (reviews >= coverage::kMany) WARN(tally.Text());
}

TEST_CASE("Limits of the time outside the central zone hold the truth: a small sample", "[jobs]") {
  TryZoneLimits(coverage::kFew);
}

TEST_CASE("Limits of the time outside the central zone hold the truth", "[.coverage]") {
  TryZoneLimits(coverage::kMany);
}

}  // namespace afterscope
