// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"
#include "metrics/scale/scale.hpp"
#include "tests/annotate/jobs/coverage/coverage_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope::coverage {
namespace {

using std::numbers::pi;

const FrameRef kGrooved{0, {100}};

// The outer groove of a scleral tunnel, in millimetres from the limbus' centre: an arc of a circle whose
// middle comes nearest to the limbus ("frown") or goes round with it, or a straight line.
struct Groove {
  PointMm centre;
  double radius = 1, from = 0, to = 1;  // radians

  PointMm At(double share) const {
    const double turn = from + share * (to - from);
    return centre + radius * OffsetMm{std::cos(turn), std::sin(turn)};
  }
  double Chord() const { return Distance(At(0), At(1)); }
  double Arc() const { return radius * std::abs(to - from); }
};

// `bent`: by how much the middle lies off the line between the ends, millimetres; positive: away from the
// eye.
Groove DrawGroove(double direction, double chord, double bent, double middle_at) {
  const double size = std::max(std::abs(bent), 0.01), radius = (chord * chord / 4 + size * size) / (2 * size);
  const double half = std::asin(chord / 2 / radius);
  const OffsetMm out{std::cos(direction), std::sin(direction)};
  const double side = bent >= 0 ? 1 : -1;
  const PointMm middle = PointMm{} + middle_at * out;
  const double towards = bent >= 0 ? direction : direction + pi;
  return {middle - side * radius * out, radius, towards - half, towards + half};
}

// By all places of both, independent of the code under test.
double LeastFromLimbus(const Groove& groove, const TrueOutline& limbus) {
  double least = 1e9;
  for (int i = 0; i <= 100; ++i)
    for (int k = -150; k <= 150; ++k) {
      const PointMm p = groove.At(i / 100.0);
      least = std::min(least, Distance(p, limbus.At(std::atan2(p.y, p.x) + k * 0.004)));
    }
  return least;
}

Mark MarkGroove(RandomBits& random, const Groove& groove, const View& view, int count, double direction) {
  const double shared_long = Normal(random, 0, 1), shared_out = Normal(random, 0, 1);
  const OffsetPx along{-std::sin(direction), std::cos(direction)},
      out{std::cos(direction), std::sin(direction)};
  Mark mark{MarkId{"tunnel"}, kGrooved, MarkKind::kIncision, {}, "", {{"name", "tunnel"}}};
  for (int i = 0; i < count; ++i) {
    const double share = static_cast<double>(i) / (count - 1);
    const PointMm p = groove.At(share);
    const PointPx seen{view.origin.x + view.px_per_mm * p.x, view.origin.y + view.px_per_mm * p.y};
    const OffsetPx own{Normal(random, 0, 1.5), Normal(random, 0, 1.5)};
    mark.points.push_back(seen + own + shared_out * out + (2 * share - 1) * shared_long * along);
  }
  return mark;
}

void SimulateTunnel(RandomBits& random, unsigned seed, Tally& tally) {
  CaseRecord record;
  record.recordings.push_back({"r.mp4", {}, {{1, 30}, {0}, {3000}, 1280, 720, {1, 1}, 0, true}});
  record.corneal_diameter_mm = Even(random, 11, 12.5);
  const double cornea = Normal(random, *record.corneal_diameter_mm, kMeasuredCornealDiameterSd);
  TrueOutline limbus{{0, 0}, cornea / 2 / 1.03, {}, {}};
  limbus.cosine[2] = 0.03;  // wider than high, its horizontal diameter is the corneal one
  const View view{{640, 360}, Even(random, 22, 60)};
  const double direction = Even(random, -pi, pi), bent = Even(random, -1.5, 1.5);
  const double limbus_there = limbus.Radius(direction);
  const Groove groove =
      DrawGroove(direction, Even(random, 5.5, 7), bent, limbus_there + Even(random, 1.5, 2.5));
  Review review;
  review.marks.push_back(MarkOutline(random, "limbus", MarkKind::kLimbus, kGrooved, limbus, view, 16));
  const int count = std::uniform_int_distribution<int>(3, 9)(random);
  review.marks.push_back(MarkGroove(random, groove, view, count, direction));
  MeasureOptions options;
  options.simulations = 400;
  options.seed = seed;
  const std::vector<Finding> findings = MeasureReview(record, review, {}, options);
  tally.Add("tunnel.chord", ValueOf(findings, "tunnel.chord"), groove.Chord());
  tally.Add("tunnel.arc", ValueOf(findings, "tunnel.arc"), groove.Arc());
  tally.Add("tunnel.from_limbus", ValueOf(findings, "tunnel.from_limbus"), LeastFromLimbus(groove, limbus));
}

Tally TallyTunnels(int reviews) {
  RandomBits random(2028);
  Tally tally;
  for (int i = 0; i < reviews; ++i) SimulateTunnel(random, static_cast<unsigned>(i) + 1, tally);
  return tally;
}

void CheckTunnels(const Tally& tally) {
  CHECK(tally.OutsideContinuous({"tunnel.chord", "tunnel.arc"}) == "");
  CHECK(tally.BelowLeast({"tunnel.from_limbus"}) == "");
}

}  // namespace

TEST_CASE("Limits of scleral tunnels hold the truth: a small sample", "[jobs][coverage]") {
  CheckTunnels(TallyTunnels(kFew));
}

TEST_CASE("Limits of scleral tunnels hold the truth in 93 to 97 of 100 reviews", "[.coverage]") {
  const Tally tally = TallyTunnels(kMany);
  fmt::print("{}", tally.Text());
  CheckTunnels(tally);
}

}  // namespace afterscope::coverage
