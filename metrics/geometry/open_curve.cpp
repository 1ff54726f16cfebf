// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/open_curve.hpp"

#include <cmath>
#include <cstddef>

namespace afterscope {
namespace {

constexpr double kStraight = 1e-6;  // twice the triangle's area, by the product of its sides at the middle

// At a share of the arc from `from` to `to` of the circle that also holds `other`; `middle` is whichever of
// the three lies between the two others. Straight where the three lie on a line or turn by a right angle or
// more.
PointSq OnArc(PointSq from, PointSq to, PointSq other, PointSq before, PointSq middle, PointSq after,
              double share) {
  const OffsetSq in = middle - before, out = after - middle;
  if (Dot(in, out) <= 0 || std::abs(Cross(in, out)) < kStraight * in.Length() * out.Length())
    return Lerp(from, to, share);
  const OffsetSq u = to - from, v = other - from;
  const double uu = Dot(u, u), vv = Dot(v, v), twice = 2 * Cross(u, v);
  const OffsetSq to_centre{(uu * v.y - vv * u.y) / twice, (vv * u.x - uu * v.x) / twice};
  const PointSq centre = from + to_centre;
  const OffsetSq a = from - centre, b = to - centre;
  const double turn = share * std::atan2(Cross(a, b), Dot(a, b));
  return centre +
         OffsetSq{a.x * std::cos(turn) - a.y * std::sin(turn), a.x * std::sin(turn) + a.y * std::cos(turn)};
}

}  // namespace

std::vector<PointSq> SmoothOpenCurve(const std::vector<PointSq>& points, int per_piece) {
  std::vector<PointSq> p;
  for (const PointSq& point : points)
    if (p.empty() || Distance(p.back(), point) > 0) p.push_back(point);
  if (p.size() < 2) return {};
  std::vector<PointSq> places;
  for (std::size_t i = 0; i + 1 < p.size(); ++i)
    for (int k = 0; k < per_piece; ++k) {
      const double share = static_cast<double>(k) / per_piece;
      const bool first = i == 0, last = i + 2 == p.size();
      const auto with_before = [&] {
        return OnArc(p[i], p[i + 1], p[i - 1], p[i - 1], p[i], p[i + 1], share);
      };
      const auto with_after = [&] {
        return OnArc(p[i], p[i + 1], p[i + 2], p[i], p[i + 1], p[i + 2], share);
      };
      if (first && last)
        places.push_back(Lerp(p[i], p[i + 1], share));
      else if (first)
        places.push_back(with_after());
      else if (last)
        places.push_back(with_before());
      else
        places.push_back(Lerp(with_before(), with_after(), share));
    }
  places.push_back(p.back());
  return places;
}

double LengthAlong(const std::vector<PointSq>& places) {
  double length = 0;
  for (std::size_t i = 1; i < places.size(); ++i) length += Distance(places[i - 1], places[i]);
  return length;
}

}  // namespace afterscope
