// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/polygon.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace afterscope {
namespace {

template <class Space>
int Side(Point<Space> a, Point<Space> b, Point<Space> p) {
  const double cross = Cross(b - a, p - a);
  return (cross > 0) - (cross < 0);
}

template <class Space>
bool OnSegment(Point<Space> a, Point<Space> b, Point<Space> p) {
  return Side(a, b, p) == 0 && Dot(p - a, p - b) <= 0;
}

template <class Space>
bool Touch(Point<Space> a, Point<Space> b, Point<Space> c, Point<Space> d) {
  const int abc = Side(a, b, c), abd = Side(a, b, d), cda = Side(c, d, a), cdb = Side(c, d, b);
  if (abc * abd < 0 && cda * cdb < 0) return true;
  return OnSegment(a, b, c) || OnSegment(a, b, d) || OnSegment(c, d, a) || OnSegment(c, d, b);
}

template <class Space>
void AppendHalfHull(const std::vector<Point<Space>>& sorted, std::vector<Point<Space>>& hull) {
  const std::size_t base = hull.size();
  for (const Point<Space>& p : sorted) {
    while (hull.size() >= base + 2 && Cross(hull.back() - hull[hull.size() - 2], p - hull.back()) <= 0)
      hull.pop_back();
    hull.push_back(p);
  }
  hull.pop_back();  // the other half starts with it
}

}  // namespace

template <class Space>
double SignedArea(const std::vector<Point<Space>>& corners) {
  double twice = 0;
  for (std::size_t i = 2; i < corners.size(); ++i)
    twice += Cross(corners[i - 1] - corners[0], corners[i] - corners[0]);
  return twice / 2;
}

template <class Space>
double Area(const std::vector<Point<Space>>& corners) {
  return std::abs(SignedArea(corners));
}

template <class Space>
double Perimeter(const std::vector<Point<Space>>& corners) {
  double length = 0;
  for (std::size_t i = 0; i < corners.size(); ++i)
    length += Distance(corners[i], corners[(i + 1) % corners.size()]);
  return length;
}

template <class Space>
std::optional<Point<Space>> Centroid(const std::vector<Point<Space>>& corners) {
  const double perimeter = Perimeter(corners);
  const double area = SignedArea(corners);
  if (corners.size() < 3 || !(std::abs(area) > 1e-12 * perimeter * perimeter)) return std::nullopt;
  Offset<Space> sum;
  for (std::size_t i = 2; i < corners.size(); ++i) {
    const Offset<Space> u = corners[i - 1] - corners[0], v = corners[i] - corners[0];
    sum = sum + Cross(u, v) * (u + v);
  }
  return corners[0] + sum / (6 * area);
}

template <class Space>
bool SelfCrossing(const std::vector<Point<Space>>& corners) {
  const std::size_t n = corners.size();
  for (std::size_t i = 0; i + 2 < n; ++i) {
    const std::size_t last = i == 0 ? n - 1 : n;  // the last edge is the first one's neighbour
    for (std::size_t j = i + 2; j < last; ++j)
      if (Touch(corners[i], corners[i + 1], corners[j], corners[(j + 1) % n])) return true;
  }
  return false;
}

// Andrew's monotone chain.
template <class Space>
std::vector<Point<Space>> ConvexHull(std::vector<Point<Space>> points) {
  const auto before = [](Point<Space> a, Point<Space> b) { return a.x < b.x || (a.x == b.x && a.y < b.y); };
  std::sort(points.begin(), points.end(), before);
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 3) return points;
  std::vector<Point<Space>> hull;
  AppendHalfHull(points, hull);
  std::reverse(points.begin(), points.end());
  AppendHalfHull(points, hull);
  return hull;
}

// Rotating calipers: as the edges are gone through in order, the corner farthest from the edge only moves
// forward.
template <class Space>
FeretDiameters MeasureFeret(const std::vector<Point<Space>>& points) {
  const std::vector<Point<Space>> hull = ConvexHull(points);
  const std::size_t n = hull.size();
  FeretDiameters out;
  if (n < 2) return out;
  out.smallest = std::numeric_limits<double>::infinity();
  const auto far = [&](std::size_t edge, std::size_t corner) {
    return Cross(hull[(edge + 1) % n] - hull[edge], hull[corner % n] - hull[edge]);
  };
  Offset<Space> largest;
  std::size_t corner = 1;
  for (std::size_t edge = 0; edge < n; ++edge) {
    while (far(edge, corner + 1) > far(edge, corner)) ++corner;
    const Offset<Space> along = hull[(edge + 1) % n] - hull[edge];
    if (const double width = far(edge, corner) / along.Length(); width < out.smallest) {
      out.smallest = width;
      out.smallest_along = Angle::Radians(std::atan2(along.x, -along.y));
    }
    for (const std::size_t end : {edge, edge + 1})
      for (const std::size_t other : {corner, corner + 1})
        if (const Offset<Space> d = hull[other % n] - hull[end % n]; Dot(d, d) > Dot(largest, largest))
          largest = d;
  }
  out.largest = largest.Length();
  out.largest_along = Angle::Radians(std::atan2(largest.y, largest.x));
  return out;
}

#define AFTERSCOPE_FOR_SPACE(Space)                                                \
  template double SignedArea(const std::vector<Point<Space>>&);                    \
  template double Area(const std::vector<Point<Space>>&);                          \
  template double Perimeter(const std::vector<Point<Space>>&);                     \
  template std::optional<Point<Space>> Centroid(const std::vector<Point<Space>>&); \
  template bool SelfCrossing(const std::vector<Point<Space>>&);                    \
  template std::vector<Point<Space>> ConvexHull(std::vector<Point<Space>>);        \
  template FeretDiameters MeasureFeret(const std::vector<Point<Space>>&);
AFTERSCOPE_FOR_SPACE(SqSpace)
AFTERSCOPE_FOR_SPACE(MmSpace)
#undef AFTERSCOPE_FOR_SPACE

}  // namespace afterscope
