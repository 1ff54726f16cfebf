// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"
#include "metrics/scale/corneal_factor.hpp"
#include "metrics/scale/scale.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <map>
#include <numbers>
#include <random>

namespace afterscope {
namespace {

using std::numbers::pi;
using Random = std::mt19937_64;

constexpr int kReviews = 2000;

double Normal(Random& random, double mean, double sd) {
  return std::normal_distribution<double>(mean, sd)(random);
}
double Even(Random& random, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(random);
}

// A true outline round its own centre, in millimetres: r(t) = R (1 + waves of order 2 to 6).
struct TrueOutline {
  PointMm centre;
  double radius = 1;
  double cosine[7] = {}, sine[7] = {};

  double Radius(double a) const {
    double sum = 1;
    for (int k = 2; k < 7; ++k) sum += cosine[k] * std::cos(k * a) + sine[k] * std::sin(k * a);
    return radius * sum;
  }
  PointMm At(double a) const { return centre + Radius(a) * OffsetMm{std::cos(a), std::sin(a)}; }
};

TrueOutline Wavy(Random& random, PointMm centre, double radius, double waves) {
  TrueOutline out{centre, radius, {}, {}};
  for (int k = 2; k < 7; ++k) {
    out.cosine[k] = Normal(random, 0, waves / (k * k));
    out.sine[k] = Normal(random, 0, waves / (k * k));
  }
  return out;
}

struct TrueMeasures {
  double area = 0, largest = 0, smallest = 1e9, circularity = 0;
  PointMm centroid;
};

// By sums over 720 directions, independent of the code under test.
TrueMeasures MeasuresOf(const TrueOutline& outline) {
  constexpr int kSteps = 720;
  TrueMeasures out;
  double perimeter = 0;
  OffsetMm moment;
  std::vector<PointMm> points;
  for (int i = 0; i < kSteps; ++i) points.push_back(outline.At(2 * pi * i / kSteps));
  for (int i = 0; i < kSteps; ++i) {
    const PointMm a = points[static_cast<std::size_t>(i)],
                  b = points[static_cast<std::size_t>((i + 1) % kSteps)];
    const double cross = Cross(a - outline.centre, b - outline.centre);
    out.area += cross / 2;
    moment = moment + cross / 6 * ((a - outline.centre) + (b - outline.centre));
    perimeter += Distance(a, b);
  }
  out.centroid = outline.centre + moment / out.area;
  out.circularity = 4 * pi * out.area / (perimeter * perimeter);
  for (int k = 0; k < 180; ++k) {
    const OffsetMm u{std::cos(pi * k / 180), std::sin(pi * k / 180)};
    double low = 1e9, high = -1e9;
    for (const PointMm& p : points) {
      low = std::min(low, Dot(p - PointMm{}, u));
      high = std::max(high, Dot(p - PointMm{}, u));
    }
    out.largest = std::max(out.largest, high - low);
    out.smallest = std::min(out.smallest, high - low);
  }
  return out;
}

// What a reviewer marks of it: every point with an error of its own, all with a shared one.
Mark Marked(Random& random, const std::string& id, MarkKind kind, FrameRef at, const TrueOutline& outline,
            double px_per_mm, int count) {
  const double shared = Normal(random, 0, 1.0);
  const double turn = Even(random, 0, 2 * pi);
  Mark out{MarkId{id}, at, kind, {}, {}, {}};
  for (int i = 0; i < count; ++i) {
    const double a = turn + 2 * pi * i / count;
    const OffsetMm from_centre = outline.At(a) - outline.centre;
    const OffsetMm u = from_centre / from_centre.Length();
    const PointMm p = outline.At(a);
    const double dx = Normal(random, 0, 1.5), dy = Normal(random, 0, 1.5);
    out.points.push_back(
        {640 + p.x * px_per_mm + shared * u.x + dx, 360 + p.y * px_per_mm + shared * u.y + dy});
  }
  return out;
}

class Tally {
 public:
  void Add(const Finding& finding, double truth) {
    const auto& e = finding.measured.estimate;
    Row& row = rows_[finding.name];
    ++row.count;
    if (e && e->low <= truth && truth <= e->high) ++row.held;
  }
  // Share of reviews whose limits hold the truth, and whether it is enough: 93 to 97 %, for extremes 93 % or
  // more.
  void Check(const std::string& name, bool extreme) const {
    const Row& row = rows_.at(name);
    const double share = 100.0 * row.held / row.count;
    INFO(name << ": " << share << " % of " << row.count);
    CHECK(row.count >= kReviews);
    CHECK(share >= 93);
    if (!extreme) CHECK(share <= 97);
  }

 private:
  struct Row {
    int held = 0, count = 0;
  };
  std::map<std::string, Row> rows_;
};

const Finding& Find(const std::vector<Finding>& findings, const std::string& name) {
  for (const Finding& f : findings)
    if (f.name == name && f.measured.estimate) return f;
  FAIL("no value for " << name);
  return findings.front();
}

CaseRecord RecordOfEye() {
  CaseRecord record;
  record.eye = Eye::kRight;
  record.seat_clock_hour = 12;
  record.recordings.push_back({"r.mp4", {}, {{1, 30}, {0}, {3000}, 1280, 720, {1, 1}, 0, true}});
  return record;
}

// Truth is drawn as the limits assume: corneal diameter from the population, magnification from its spread.
void SimulateReview(Random& random, const CaseRecord& record, unsigned seed, Tally& tally) {
  const double cornea = Normal(random, 11.71, 0.42), px = Even(random, 40, 60);
  const PlaneFactor factor = FactorAt(Plane::kCapsule, {}), lens_factor = FactorAt(Plane::kLens, {});
  const double m = Normal(random, factor.value, factor.sd),
               m_lens = Normal(random, lens_factor.value, lens_factor.sd);

  TrueOutline limbus{{0, 0}, cornea / 2, {}, {}};
  limbus.cosine[2] = 0.03;            // wider than high
  limbus.radius = cornea / 2 / 1.03;  // horizontal diameter stays
  const double off = Even(random, 0.1, 0.5), where = Even(random, 0, 2 * pi);
  const TrueOutline rhexis =
      Wavy(random, {off * std::cos(where), off * std::sin(where)}, Even(random, 2.3, 2.9), 0.12);
  const TrueOutline pupil = Wavy(random, {0.1, 0.05}, Even(random, 3.3, 3.9), 0.05);
  const TrueOutline optic{{0.1, -0.1}, 3.0, {}, {}};

  const FrameRef done{0, {100}}, over{0, {200}};
  const int n = std::uniform_int_distribution<int>(12, 24)(random);
  Review review;
  review.marks.push_back(Marked(random, "limbus", MarkKind::kLimbus, done, limbus, px, 16));
  review.marks.push_back(Marked(random, "pupil", MarkKind::kPupil, done, pupil, px * m, 14));
  review.marks.push_back(Marked(random, "rhexis", MarkKind::kRhexis, done, rhexis, px * m, n));
  review.marks.push_back(Marked(random, "over", MarkKind::kRhexis, over, rhexis, px * m_lens, n));
  review.marks.back().fields["stage"] = "over optic";
  review.marks.push_back(Marked(random, "lens", MarkKind::kLensEdge, over, optic, px * m_lens, 12));
  MeasureOptions options;
  options.simulations = 200;
  options.seed = seed;
  const std::vector<Finding> findings = MeasureReview(record, review, {}, options);

  const TrueMeasures r = MeasuresOf(rhexis), p = MeasuresOf(pupil);
  const auto add = [&](const char* name, double truth) { tally.Add(Find(findings, name), truth); };
  add("scale.mm_per_px", 1 / px);
  add("rhexis.area", r.area);
  add("rhexis.area.as_seen", r.area * m * m);
  add("rhexis.diameter_equivalent", 2 * std::sqrt(r.area / pi));
  add("rhexis.diameter_equivalent.as_seen", 2 * std::sqrt(r.area / pi) * m);
  add("rhexis.diameter_largest", r.largest);
  add("rhexis.diameter_smallest", r.smallest);
  add("rhexis.circularity", r.circularity);
  add("rhexis.axis_ratio", r.smallest / r.largest);
  add("rhexis.off_pupil", Distance(r.centroid, p.centroid));
  add("rhexis.over_optic.diameter_equivalent", 2 * std::sqrt(r.area / pi));
  add("pupil.diameter", 2 * std::sqrt(p.area / pi));
  double least = 1e9;
  for (int i = 0; i < 360; ++i) {  // along directions from the optic's centre, by bisection on the rhexis
    const OffsetMm u{std::cos(2 * pi * i / 360), std::sin(2 * pi * i / 360)};
    double low = 0, high = 6;
    for (int step = 0; step < 40; ++step) {
      const double middle = (low + high) / 2;
      const OffsetMm d = (optic.centre + middle * u) - rhexis.centre;
      (d.Length() < rhexis.Radius(std::atan2(d.y, d.x)) ? low : high) = middle;
    }
    least = std::min(least, 3.0 - low);
  }
  add("rhexis.over_optic.overlap_least", least);
}

// Takes about a minute of processor time.
TEST_CASE("Limits hold the truth in 93 to 97 of 100 simulated reviews", "[jobs][coverage]") {
  Random random(2026);
  const CaseRecord record = RecordOfEye();
  Tally tally;
  for (unsigned i = 0; i < kReviews; ++i) SimulateReview(random, record, i + 1, tally);
  for (const char* name :
       {"scale.mm_per_px", "rhexis.area", "rhexis.area.as_seen", "rhexis.diameter_equivalent",
        "rhexis.diameter_equivalent.as_seen", "rhexis.circularity", "rhexis.axis_ratio", "rhexis.off_pupil",
        "rhexis.over_optic.diameter_equivalent", "pupil.diameter"})
    tally.Check(name, false);
  for (const char* name :
       {"rhexis.diameter_largest", "rhexis.diameter_smallest", "rhexis.over_optic.overlap_least"})
    tally.Check(name, true);
}

}  // namespace
}  // namespace afterscope
