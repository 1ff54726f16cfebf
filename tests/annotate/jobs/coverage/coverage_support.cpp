// SPDX-License-Identifier: Apache-2.0
#include "tests/annotate/jobs/coverage/coverage_support.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope::coverage {

using std::numbers::pi;

namespace {

constexpr int kSteps = 720;
constexpr double kPointSdPx = 1.5, kSharedSdPx = 1.0;

// The largest distance from the circle of least squares, by ten rounds of averages over even directions.
double LargestDeparture(const std::vector<PointMm>& points, PointMm centre) {
  double radius = 0;
  for (int round = 0; round < 10; ++round) {
    OffsetMm shift;
    radius = 0;
    for (const PointMm& p : points) radius += Distance(p, centre) / kSteps;
    for (const PointMm& p : points) {
      const OffsetMm d = p - centre;
      shift = shift + 2.0 / kSteps * (1 - radius / d.Length()) * d;
    }
    centre = centre + shift;
  }
  double most = 0;
  for (const PointMm& p : points) most = std::max(most, std::abs(Distance(p, centre) - radius));
  return most;
}

PointPx Seen(const View& view, PointMm p) {
  return {view.origin.x + p.x * view.px_per_mm, view.origin.y + p.y * view.px_per_mm};
}

PointPx OffBy(RandomBits& random, PointPx p, OffsetPx shared) {
  const double dx = Normal(random, 0, kPointSdPx), dy = Normal(random, 0, kPointSdPx);
  return {p.x + shared.x + dx, p.y + shared.y + dy};
}

}  // namespace

double TrueOutline::Radius(double a) const {
  double sum = 1;
  for (int k = 2; k < 7; ++k) sum += cosine[k] * std::cos(k * a) + sine[k] * std::sin(k * a);
  return radius * sum;
}
PointMm TrueOutline::At(double a) const { return centre + Radius(a) * OffsetMm{std::cos(a), std::sin(a)}; }

TrueOutline Wavy(RandomBits& random, PointMm centre, double radius, double waves) {
  TrueOutline out{centre, radius, {}, {}};
  for (int k = 2; k < 7; ++k) {
    out.cosine[k] = Normal(random, 0, waves / (k * k));
    out.sine[k] = Normal(random, 0, waves / (k * k));
  }
  return out;
}

TrueOutline HandTorn(RandomBits& random, PointMm centre, double radius, double skill) {
  TrueOutline out{centre, radius, {}, {}};
  for (int k = 2; k < 6; ++k) {
    out.cosine[k] = Normal(random, 0, 0.055 * (1.15 - skill) / (k - 0.5));
    out.sine[k] = Normal(random, 0, 0.055 * (1.15 - skill) / (k - 0.5));
  }
  return out;
}

TrueMeasures MeasuresOf(const TrueOutline& outline) {
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
  out.departure = LargestDeparture(points, out.centroid);
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

Mark MarkOutline(RandomBits& random, const std::string& id, MarkKind kind, FrameRef at,
                 const TrueOutline& outline, const View& view, int count) {
  const double shared = Normal(random, 0, kSharedSdPx), turn = Even(random, 0, 2 * pi);
  Mark out{MarkId{id}, at, kind, {}, {}, {}};
  for (int i = 0; i < count; ++i) {
    const double a = turn + 2 * pi * i / count;
    out.points.push_back(
        OffBy(random, Seen(view, outline.At(a)), {shared * std::cos(a), shared * std::sin(a)}));
  }
  return out;
}

Mark MarkEnds(RandomBits& random, const std::string& id, FrameRef at, PointMm a, PointMm b, const View& view,
              const std::string& name) {
  const double shared = Normal(random, 0, kSharedSdPx);
  const OffsetMm out = (b - a) / Distance(a, b);
  const OffsetPx apart{shared * out.x, shared * out.y};
  Mark mark{MarkId{id}, at, MarkKind::kIncision, {}, name, {{"name", name}}};
  mark.points = {OffBy(random, Seen(view, a), -1 * apart), OffBy(random, Seen(view, b), apart)};
  return mark;
}

std::optional<Estimate> ValueOf(const std::vector<Finding>& findings, const std::string& name,
                                const std::string& mark) {
  bool known = false;
  for (const Finding& f : findings) {
    if (f.name != name || (!mark.empty() && (f.marks.empty() || f.marks.front().value != mark))) continue;
    known = true;
    if (f.measured.estimate) return f.measured.estimate;
  }
  if (!known) FAIL("no finding " << name);
  return std::nullopt;
}

}  // namespace afterscope::coverage
