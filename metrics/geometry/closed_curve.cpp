// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/closed_curve.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

std::vector<PointSq> WithoutRepeats(const std::vector<PointSq>& points) {
  std::vector<PointSq> out;
  for (const PointSq& p : points)
    if (out.empty() || Distance(out.back(), p) > 1e-9) out.push_back(p);
  while (out.size() > 1 && Distance(out.back(), out.front()) <= 1e-9) out.pop_back();
  return out;
}

bool Finite(const std::vector<PointSq>& points) {
  return std::all_of(points.begin(), points.end(),
                     [](PointSq p) { return std::isfinite(p.x) && std::isfinite(p.y); });
}

// Solves lower[i] x[i-1] + diagonal[i] x[i] + upper[i] x[i+1] = right[i] for several right sides in place; no
// wrap.
template <class Value>
std::vector<Value> SolveTridiagonal(const std::vector<double>& lower, std::vector<double> diagonal,
                                    const std::vector<double>& upper, std::vector<Value> right) {
  const std::size_t n = diagonal.size();
  for (std::size_t i = 1; i < n; ++i) {
    const double factor = lower[i] / diagonal[i - 1];
    diagonal[i] -= factor * upper[i - 1];
    right[i] = right[i] - factor * right[i - 1];
  }
  right[n - 1] = right[n - 1] / diagonal[n - 1];
  for (std::size_t i = n - 1; i-- > 0;) right[i] = (right[i] - upper[i] * right[i + 1]) / diagonal[i];
  return right;
}

// The same with the ends joined (lower[0] and upper[n-1] wrap), by the Sherman-Morrison formula.
std::vector<OffsetSq> SolveCyclic(const std::vector<double>& lower, std::vector<double> diagonal,
                                  const std::vector<double>& upper, const std::vector<OffsetSq>& right) {
  const std::size_t n = diagonal.size();
  const double gamma = -diagonal[0];
  const double wrap_low = lower[0], wrap_high = upper[n - 1];
  diagonal[0] -= gamma;
  diagonal[n - 1] -= wrap_low * wrap_high / gamma;
  std::vector<double> u(n, 0.0);
  u[0] = gamma;
  u[n - 1] = wrap_high;
  std::vector<OffsetSq> x = SolveTridiagonal(lower, diagonal, upper, right);
  const std::vector<double> z = SolveTridiagonal(lower, diagonal, upper, u);
  const double denominator = 1 + z[0] + wrap_low * z[n - 1] / gamma;
  const OffsetSq factor = (x[0] + wrap_low / gamma * x[n - 1]) / denominator;
  for (std::size_t i = 0; i < n; ++i) x[i] = x[i] - z[i] * factor;
  return x;
}

}  // namespace

std::optional<SmoothClosedCurve> SmoothClosedCurve::Through(const std::vector<PointSq>& points) {
  if (!Finite(points)) return std::nullopt;
  SmoothClosedCurve curve;
  curve.points_ = WithoutRepeats(points);
  const std::size_t n = curve.points_.size();
  if (n < 3) return std::nullopt;
  curve.start_.assign(n + 1, 0.0);
  for (std::size_t i = 0; i < n; ++i)
    curve.start_[i + 1] = curve.start_[i] + Distance(curve.points_[i], curve.points_[(i + 1) % n]);

  std::vector<double> lower(n), diagonal(n), upper(n);
  std::vector<OffsetSq> right(n);
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t before = (i + n - 1) % n, after = (i + 1) % n;
    const double h0 = curve.start_[before + 1] - curve.start_[before];
    const double h1 = curve.start_[i + 1] - curve.start_[i];
    lower[i] = h0 / 6;
    diagonal[i] = (h0 + h1) / 3;
    upper[i] = h1 / 6;
    right[i] =
        (curve.points_[after] - curve.points_[i]) / h1 - (curve.points_[i] - curve.points_[before]) / h0;
  }
  curve.curvature_ = SolveCyclic(lower, diagonal, upper, right);
  return curve;
}

PointSq SmoothClosedCurve::InSpan(std::size_t span, double along) const {
  const std::size_t next = (span + 1) % points_.size();
  const double h = start_[span + 1] - start_[span];
  const double b = along / h, a = 1 - b;
  const OffsetSq bend = h * h / 6 * ((a * a * a - a) * curvature_[span] + (b * b * b - b) * curvature_[next]);
  return Lerp(points_[span], points_[next], b) + bend;
}

PointSq SmoothClosedCurve::At(double share) const {
  const double length = (share - std::floor(share)) * start_.back();
  const auto after = std::upper_bound(start_.begin(), start_.end(), length);
  const auto span = std::min(static_cast<std::size_t>(after - start_.begin() - 1), points_.size() - 1);
  return InSpan(span, length - start_[span]);
}

std::vector<PointSq> SmoothClosedCurve::Sample(int per_span) const {
  std::vector<PointSq> out;
  for (std::size_t span = 0; span < points_.size(); ++span)
    for (int i = 0; i < per_span; ++i)
      out.push_back(InSpan(span, (start_[span + 1] - start_[span]) * i / per_span));
  return out;
}

}  // namespace afterscope
