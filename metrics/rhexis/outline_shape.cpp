// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/outline_shape.hpp"

#include "metrics/geometry/circle.hpp"
#include "metrics/geometry/polygon.hpp"
#include "metrics/series/draws.hpp"
#include "metrics/series/quantiles.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

// Distances within which two centres are told apart at 95 % in the plane: root of -2 ln 0.05.
constexpr double kPlaneLimit = 2.4477;

// From the best circle of a nearly round outline: starting at the centroid, two rounds of averages find it to
// 1e-4 of the radius (the normal equations of evenly spread directions are diagonal).
double LargestDeparture(const std::vector<PointSq>& points, PointSq centroid) {
  const auto length = [](OffsetSq d) {
    return std::sqrt(Dot(d, d));
  };  // pixels: std::hypot's care is not needed
  CircleSq circle{centroid, 0};
  const auto n = static_cast<double>(points.size());
  for (int round = 0; round < 3; ++round) {
    OffsetSq shift;
    double radius = 0;
    for (const PointSq& p : points) radius += length(p - circle.centre) / n;
    for (const PointSq& p : points) {
      const OffsetSq d = p - circle.centre;
      shift = shift + 2 / n * (1 - radius / length(d)) * d;
    }
    circle.radius = radius;
    circle.centre = circle.centre + shift;
  }
  double most = 0;
  for (const PointSq& p : points) most = std::max(most, std::abs(length(p - circle.centre) - circle.radius));
  return most;
}

OffsetSq MeanOffset(const std::vector<OffsetSq>& offsets) {
  OffsetSq sum;
  for (const OffsetSq& d : offsets) sum = sum + d;
  return sum / static_cast<double>(offsets.size());
}

}  // namespace

ShapeDraws MeasureShape(const OutlineModel& outline, int draws, unsigned seed, bool whole) {
  ShapeDraws out;
  for (const RadialCurve& curve : outline.Draw(draws, seed)) {
    out.area.push_back(curve.Area());
    out.equivalent.push_back(2 * std::sqrt(out.area.back() / std::numbers::pi));
    out.centre.push_back(curve.Centroid());
    if (!whole) continue;
    const std::vector<PointSq> points = curve.Points();
    const FeretDiameters feret = MeasureFeret(points);
    out.largest.push_back(feret.largest);
    out.smallest.push_back(feret.smallest);
    out.axis_ratio.push_back(feret.smallest / feret.largest);
    out.circularity.push_back(curve.Circularity());
    out.departure.push_back(LargestDeparture(points, out.centre.back()));
  }
  return out;
}

Offcentre MeasureOffcentre(const std::vector<PointSq>& centre, const std::vector<PointSq>& reference) {
  assert(centre.size() == reference.size() && !centre.empty());
  std::vector<OffsetSq> offsets;
  for (std::size_t i = 0; i < centre.size(); ++i) offsets.push_back(centre[i] - reference[i]);
  Offcentre out;
  out.offset = MeanOffset(offsets);
  const double length = out.offset.Length();
  double variance = 0;
  std::vector<double> distances, turns;
  for (const OffsetSq& d : offsets) {
    const OffsetSq off = d - out.offset;
    variance += Dot(off, off) / 2 / static_cast<double>(offsets.size());
    distances.push_back(d.Length());
    turns.push_back(std::abs(std::atan2(Cross(out.offset, d), Dot(out.offset, d))));
  }
  const auto spread = EstimateFromDraws(distances);
  const auto turn = Quantile(turns, 0.95);
  if (!spread || !turn.ok()) {
    out.distance = {NAN, NAN, NAN};
    return out;
  }
  out.has_direction = length > kPlaneLimit * std::sqrt(variance);
  out.distance = {length, out.has_direction ? std::min(spread->low, length) : 0,
                  std::max(spread->high, length), spread->level};
  out.direction_half_width = *turn;
  return out;
}

}  // namespace afterscope
