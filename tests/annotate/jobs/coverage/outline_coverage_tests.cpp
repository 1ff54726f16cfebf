// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"
#include "metrics/scale/corneal_factor.hpp"
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

constexpr double kOpticRadius = 3.0, kPlanned = 5.2;
const FrameRef kDone{0, {100}}, kOver{0, {200}};

// One eye, drawn as the limits assume: what was not measured of it from the population, what was measured off
// by the measurement's own error, the factors of the planes from their spread, the eye turned against the
// seat by two degrees.
struct SimulatedEye {
  CaseRecord record;
  double cornea = 11.71, capsule = 1, lens = 1, turn_deg = 0;
  View view;
};

SimulatedEye DrawEye(RandomBits& random, bool measured) {
  SimulatedEye out;
  out.record.eye = Eye::kRight;
  out.record.seat_clock_hour = 12;
  out.record.planned_rhexis_mm = kPlanned;
  out.record.recordings.push_back({"r.mp4", {}, {{1, 30}, {0}, {3000}, 1280, 720, {1, 1}, 0, true}});
  CorneaFacts facts;
  if (measured) {
    facts = {Even(random, 41, 46), Even(random, 2.6, 3.7)};
    out.record.corneal_power_d = facts.power_d;
    out.record.chamber_depth_mm = facts.chamber_depth_mm;
    out.record.corneal_diameter_mm = Even(random, 11, 12.5);
    out.cornea = Normal(random, *out.record.corneal_diameter_mm, kMeasuredCornealDiameterSd);
  } else {
    out.cornea = Normal(random, kPopulationCornealDiameter.mm, kPopulationCornealDiameter.sd);
  }
  const PlaneFactor capsule = FactorAt(Plane::kCapsule, facts), lens = FactorAt(Plane::kLens, facts);
  out.capsule = Normal(random, capsule.value, capsule.sd);
  out.lens = Normal(random, lens.value, lens.sd);
  out.turn_deg = Normal(random, 0, 2);
  out.view.px_per_mm = Even(random, 22, 60);
  return out;
}

View Through(const SimulatedEye& eye, double factor) {
  return {eye.view.origin, eye.view.px_per_mm * factor};
}

// From a seat at 12 o'clock superior lies at the bottom: the dial is turned by half a turn against the
// picture (references: surgeon's view).
double DialDegrees(const SimulatedEye& eye, OffsetMm direction) {
  return std::atan2(-direction.y, direction.x) * 180 / pi - 180 + eye.turn_deg;
}
double ClockHour(double dial_deg) { return (90 - dial_deg) / 30; }
OffsetMm DirectionOf(const SimulatedEye& eye, double dial_deg) {
  const double a = (dial_deg + 180 - eye.turn_deg) * pi / 180;
  return {std::cos(a), -std::sin(a)};
}

struct SimulatedReview {
  TrueOutline limbus, rhexis, pupil, optic;
  PointMm wound[2], port[2];
  double pupil_radii[3] = {};
  Review review;
};

void Ends(double degrees, double width, double radius, PointMm (&ends)[2]) {
  const double a = degrees * pi / 180;
  const PointMm middle{radius * std::cos(a), radius * std::sin(a)};
  const OffsetMm along{-std::sin(a), std::cos(a)};
  ends[0] = middle - 0.5 * width * along;
  ends[1] = middle + 0.5 * width * along;
}

SimulatedReview DrawReview(RandomBits& random, const SimulatedEye& eye) {
  SimulatedReview s;
  s.limbus = {{0, 0}, eye.cornea / 2 / 1.03, {}, {}};
  s.limbus.cosine[2] = 0.03;  // wider than high, its horizontal diameter is the corneal one
  const double off = Even(random, 0.1, 0.5), where = Even(random, 0, 2 * pi);
  const PointMm centre{off * std::cos(where), off * std::sin(where)};
  const double radius = Even(random, 2.3, 2.9);
  s.rhexis = Even(random, 0, 1) < 0.5 ? Wavy(random, centre, radius, 0.12)
                                      : HandTorn(random, centre, radius, Even(random, 0.2, 0.95));
  s.pupil = Wavy(random, {0.1, 0.05}, Even(random, 3.3, 3.9), 0.05);
  s.optic = {{0.1, -0.1}, kOpticRadius, {}, {}};
  const double main_deg = Even(random, 40, 90);
  Ends(main_deg, 2.4, 0.47 * eye.cornea, s.wound);
  Ends(main_deg + Even(random, 70, 110), 1.1, 0.47 * eye.cornea, s.port);
  const View cornea = eye.view, capsule = Through(eye, eye.capsule), lens = Through(eye, eye.lens);
  const int n = std::uniform_int_distribution<int>(12, 40)(random);
  auto& marks = s.review.marks;
  marks.push_back(MarkOutline(random, "limbus", MarkKind::kLimbus, kDone, s.limbus, cornea, 16));
  marks.push_back(MarkOutline(random, "pupil", MarkKind::kPupil, kDone, s.pupil, capsule, 14));
  marks.push_back(MarkOutline(random, "rhexis", MarkKind::kRhexis, kDone, s.rhexis, capsule, n));
  marks.push_back(MarkOutline(random, "over", MarkKind::kRhexis, kOver, s.rhexis, lens, n));
  marks.back().fields["stage"] = "over optic";
  marks.push_back(MarkOutline(random, "lens", MarkKind::kLensEdge, kOver, s.optic, lens, 12));
  marks.push_back(MarkEnds(random, "main", kDone, s.wound[0], s.wound[1], cornea, "main incision"));
  marks.push_back(MarkEnds(random, "side", kDone, s.port[0], s.port[1], cornea, "side port"));
  for (int i = 0; i < 3; ++i) {  // nearly as wide as each other, so that any of them may come out least
    TrueOutline later = s.pupil;
    later.radius = s.pupil_radii[i] = s.pupil.radius * Even(random, 0.95, 1.02);
    marks.push_back(MarkOutline(random, fmt::format("pupil-{}", i), MarkKind::kPupil, {0, {300 + i}}, later,
                                capsule, 14));
  }
  // Outlined again on two more frames; by errors of their own.
  RandomBits again(random);
  again.discard(1000);
  for (const int frame : {1, 2}) {
    marks.push_back(MarkOutline(again, fmt::format("again-{}", frame), MarkKind::kRhexis,
                                {0, {kDone.pts.ticks + frame}}, s.rhexis, capsule, n));
  }
  return s;
}

// Edge of the rhexis along a direction from the optic's centre, by bisection.
double MarginAlong(const SimulatedReview& s, OffsetMm u) {
  double low = 0, high = 6;
  for (int step = 0; step < 40; ++step) {
    const double middle = (low + high) / 2;
    const OffsetMm d = (s.optic.centre + middle * u) - s.rhexis.centre;
    (d.Length() < s.rhexis.Radius(std::atan2(d.y, d.x)) ? low : high) = middle;
  }
  return kOpticRadius - low;
}

void AddOverlap(const SimulatedEye& eye, const SimulatedReview& s, const std::vector<Finding>& findings,
                Tally& tally) {
  double least = 1e9, most = -1e9, covered = 0;
  for (int i = 0; i < 360; ++i) {
    const double margin = MarginAlong(s, {std::cos(pi * i / 180), std::sin(pi * i / 180)});
    least = std::min(least, margin);
    most = std::max(most, margin);
    covered += margin > 0 ? 1 / 360.0 : 0;
  }
  const std::string prefix = "rhexis.over_optic.";
  tally.Add(prefix + "overlap_least", ValueOf(findings, prefix + "overlap_least"), least);
  tally.Add(prefix + "overlap_most", ValueOf(findings, prefix + "overlap_most"), most);
  tally.Add(prefix + "overlap_share", ValueOf(findings, prefix + "overlap_share"), covered);
  tally.Add(prefix + "bare_share", ValueOf(findings, prefix + "bare_share"), 1 - covered);
  for (const int hour : {2, 7, 12}) {
    const std::string name = fmt::format("{}overlap_clock_{}", prefix, hour);
    tally.Add(prefix + "overlap_clock", ValueOf(findings, name),
              MarginAlong(s, DirectionOf(eye, 90 - 30 * hour)));
  }
}

void AddSizes(const TrueMeasures& r, const std::string& prefix, double factor,
              const std::vector<Finding>& findings, Tally& tally) {
  const double equivalent = 2 * std::sqrt(r.area / pi);
  const auto add = [&](const std::string& name, double truth, double seen) {
    tally.Add(prefix + name, ValueOf(findings, prefix + name), truth);
    if (seen != 0) tally.Add(prefix + name + ".as_seen", ValueOf(findings, prefix + name + ".as_seen"), seen);
  };
  add("area", r.area, r.area * factor * factor);
  add("diameter_equivalent", equivalent, equivalent * factor);
  add("diameter_largest", r.largest, r.largest * factor);
  add("diameter_smallest", r.smallest, r.smallest * factor);
  add("departure_largest", r.departure, r.departure * factor);
  add("plan_difference", equivalent - kPlanned, 0);
  add("circularity", r.circularity, 0);
  add("axis_ratio", r.smallest / r.largest, 0);
}

void AddPooled(const TrueMeasures& r, const std::vector<Finding>& findings, Tally& tally) {
  const auto add = [&](const std::string& name, double truth) {
    tally.Add("rhexis.pooled." + name, ValueOf(findings, "rhexis.pooled." + name), truth);
  };
  add("area", r.area);
  add("diameter_equivalent", 2 * std::sqrt(r.area / pi));
  add("diameter_largest", r.largest);
  add("diameter_smallest", r.smallest);
}

void AddIncisions(const SimulatedEye& eye, const SimulatedReview& s, const std::vector<Finding>& findings,
                  Tally& tally) {
  double dial[2] = {};
  for (const bool main : {true, false}) {
    const auto& ends = main ? s.wound : s.port;
    const std::string mark = main ? "main" : "side";
    const OffsetMm middle = Lerp(ends[0], ends[1], 0.5) - PointMm{};
    dial[main ? 0 : 1] = DialDegrees(eye, middle);
    tally.Add("incision.width", ValueOf(findings, "incision.width", mark), Distance(ends[0], ends[1]));
    tally.AddRound("incision.axis", ValueOf(findings, "incision.axis", mark), dial[main ? 0 : 1], 180);
    tally.AddRound("incision.clock", ValueOf(findings, "incision.clock", mark), ClockHour(dial[main ? 0 : 1]),
                   12);
  }
  tally.Add("incision.angle_between", ValueOf(findings, "incision.angle_between"),
            std::abs(std::remainder(dial[0] - dial[1], 360)));
}

void AddPupil(const SimulatedEye& eye, const SimulatedReview& s, const TrueMeasures& p,
              const std::vector<Finding>& findings, Tally& tally) {
  const double diameter = 2 * std::sqrt(p.area / pi);
  tally.Add("pupil.diameter", ValueOf(findings, "pupil.diameter", "pupil"), diameter);
  tally.Add("pupil.diameter.as_seen", ValueOf(findings, "pupil.diameter.as_seen", "pupil"),
            diameter * eye.capsule);
  tally.Add("pupil.off_limbus", ValueOf(findings, "pupil.off_limbus", "pupil"),
            Distance(p.centroid, PointMm{}));
  double least = diameter, most = diameter;
  for (const double radius : s.pupil_radii) {
    least = std::min(least, diameter * radius / s.pupil.radius);
    most = std::max(most, diameter * radius / s.pupil.radius);
  }
  tally.Add("pupil.diameter_least", ValueOf(findings, "pupil.diameter_least"), least);
  tally.Add("pupil.diameter_most", ValueOf(findings, "pupil.diameter_most"), most);
}

void SimulateReview(RandomBits& random, bool measured, unsigned seed, Tally& tally) {
  const SimulatedEye eye = DrawEye(random, measured);
  const SimulatedReview s = DrawReview(random, eye);
  MeasureOptions options;
  options.simulations = 400;
  options.seed = seed;
  const std::vector<Finding> findings = MeasureReview(eye.record, s.review, {}, options);
  const TrueMeasures r = MeasuresOf(s.rhexis), p = MeasuresOf(s.pupil);
  tally.Add("scale.mm_per_px", ValueOf(findings, "scale.mm_per_px"), 1 / eye.view.px_per_mm);
  tally.Add("scale.factor_capsule", ValueOf(findings, "scale.factor_capsule"), eye.capsule);
  tally.Add("scale.factor_lens", ValueOf(findings, "scale.factor_lens"), eye.lens);
  AddSizes(r, "rhexis.", eye.capsule, findings, tally);
  AddSizes(r, "rhexis.over_optic.", eye.lens, findings, tally);
  AddPooled(r, findings, tally);
  const auto off = [&](const std::string& name, OffsetMm offset) {
    tally.Add(name, ValueOf(findings, name), offset.Length());
    tally.AddRound(name + "_clock", ValueOf(findings, name + "_clock"), ClockHour(DialDegrees(eye, offset)),
                   12);
  };
  off("rhexis.off_pupil", r.centroid - p.centroid);
  off("rhexis.off_limbus", r.centroid - PointMm{});
  AddOverlap(eye, s, findings, tally);
  AddPupil(eye, s, p, findings, tally);
  AddIncisions(eye, s, findings, tally);
}

std::vector<std::string> WithStage(std::vector<std::string> names) {
  const std::size_t plain = names.size();
  for (std::size_t i = 0; i < plain; ++i) names.push_back("over_optic." + names[i]);
  for (std::string& name : names) name = "rhexis." + name;
  return names;
}

Tally TallyOutlines(int reviews, bool measured) {
  RandomBits random(measured ? 2027 : 2026);
  Tally tally;
  for (int i = 0; i < reviews; ++i) SimulateReview(random, measured, static_cast<unsigned>(i) + 1, tally);
  return tally;
}

void CheckOutlines(const Tally& tally) {
  CHECK(tally.OutsideContinuous(
            WithStage({"area", "area.as_seen", "diameter_equivalent", "diameter_equivalent.as_seen",
                       "plan_difference", "circularity", "axis_ratio"})) == "");
  CHECK(tally.OutsideContinuous({"scale.mm_per_px", "scale.factor_capsule", "scale.factor_lens",
                                 "rhexis.off_pupil", "rhexis.off_pupil_clock", "rhexis.off_limbus",
                                 "rhexis.off_limbus_clock", "pupil.diameter", "pupil.diameter.as_seen",
                                 "pupil.off_limbus", "rhexis.over_optic.overlap_clock", "incision.width",
                                 "incision.axis", "incision.clock", "incision.angle_between"}) == "");
  CHECK(tally.BelowLeast(WithStage({"diameter_largest", "diameter_largest.as_seen", "diameter_smallest",
                                    "diameter_smallest.as_seen", "departure_largest",
                                    "departure_largest.as_seen"})) == "");
  CHECK(tally.BelowLeast({"rhexis.over_optic.overlap_least", "rhexis.over_optic.overlap_most",
                          "rhexis.over_optic.overlap_share", "rhexis.over_optic.bare_share",
                          "pupil.diameter_least", "pupil.diameter_most", "rhexis.pooled.diameter_largest",
                          "rhexis.pooled.diameter_smallest"}) == "");
  CHECK(tally.OutsideContinuous({"rhexis.pooled.area", "rhexis.pooled.diameter_equivalent"}) == "");
}

}  // namespace

TEST_CASE("Limits from outlines and incisions hold the truth: a small sample", "[jobs][coverage]") {
  for (const bool measured : {false, true}) CheckOutlines(TallyOutlines(kFew, measured));
}

TEST_CASE("Limits from outlines and incisions hold the truth in 93 to 97 of 100 reviews", "[.coverage]") {
  for (const bool measured : {false, true}) {
    const Tally tally = TallyOutlines(kMany, measured);
    fmt::print("{}\n{}", measured ? "eyes that were measured" : "eyes as the population's", tally.Text());
    CheckOutlines(tally);
  }
}

}  // namespace afterscope::coverage
