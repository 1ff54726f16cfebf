// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/radial_curve.hpp"

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;

OffsetSq DirectionOf(std::size_t i, std::size_t n) {
  const double a = kTurn * static_cast<double>(i) / static_cast<double>(n);
  return {std::cos(a), std::sin(a)};
}

// All n directions. Thousands of curves of one size are drawn and measured one after another; sines and
// cosines were a fifth of that.
const std::vector<OffsetSq>& DirectionsOf(std::size_t n) {
  thread_local std::vector<OffsetSq> last;
  if (last.size() == n) return last;
  last.clear();
  for (std::size_t i = 0; i < n; ++i) last.push_back(DirectionOf(i, n));
  return last;
}

}  // namespace

OffsetSq RadialCurve::Direction(std::size_t i) const { return DirectionOf(i, size()); }

std::vector<PointSq> RadialCurve::Points() const {
  const std::vector<OffsetSq>& directions = DirectionsOf(size());
  std::vector<PointSq> out;
  out.reserve(size());
  for (std::size_t i = 0; i < size(); ++i) out.push_back(centre + radii[i] * directions[i]);
  return out;
}

double RadialCurve::Area() const {
  double sum = 0;
  for (const double r : radii) sum += r * r;
  return sum / 2 * kTurn / static_cast<double>(size());
}

double RadialCurve::Perimeter() const {
  double sum = 0;
  for (std::size_t i = 0; i < size(); ++i) sum += std::sqrt(radii[i] * radii[i] + slopes[i] * slopes[i]);
  return sum * kTurn / static_cast<double>(size());
}

PointSq RadialCurve::Centroid() const {
  const std::vector<OffsetSq>& directions = DirectionsOf(size());
  OffsetSq sum;
  for (std::size_t i = 0; i < size(); ++i) sum = sum + radii[i] * radii[i] * radii[i] * directions[i];
  return centre + sum * (kTurn / static_cast<double>(size()) / (3 * Area()));
}

double RadialCurve::Circularity() const {
  const double perimeter = Perimeter();
  return 2 * kTurn * Area() / (perimeter * perimeter);
}

std::optional<std::vector<double>> RadialCurve::RadiiAbout(PointSq other, int directions) const {
  std::vector<double> out(static_cast<std::size_t>(directions), -1.0);
  const double step = kTurn / directions;
  for (std::size_t i = 0; i < size(); ++i) {
    const OffsetSq a = At(i) - other, b = At((i + 1) % size()) - other;
    const double turn = std::atan2(Cross(a, b), Dot(a, b));
    if (!(turn > 0)) return std::nullopt;
    const double from = std::atan2(a.y, a.x);
    for (auto k = static_cast<long>(std::ceil(from / step)); static_cast<double>(k) * step < from + turn;
         ++k) {
      const double angle = static_cast<double>(k) * step;
      const OffsetSq ray{std::cos(angle), std::sin(angle)};
      const long slot = ((k % directions) + directions) % directions;
      out[static_cast<std::size_t>(slot)] = Cross(a, b - a) / Cross(ray, b - a);
    }
  }
  for (std::size_t i = 0; i < out.size(); ++i)  // a direction lost to rounding between two chords
    if (out[i] < 0) out[i] = out[(i + out.size() - 1) % out.size()];
  for (const double r : out)
    if (!(r > 0)) return std::nullopt;
  return out;
}

}  // namespace afterscope
