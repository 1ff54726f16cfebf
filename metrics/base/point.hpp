// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cmath>
#include <vector>

namespace afterscope {

// The spaces a point can live in. x runs right and y down in all of them unless said.
// - Px: the decoded picture, before rotation and pixel-aspect correction; (0, 0) is the centre of the top
// left
//   pixel. What files and commands speak.
// - Sq: square pixels: Px with x multiplied by the pixel aspect. Anything measured works here.
// - Mm: millimetres in the plane of a scale.
struct PxSpace;
struct SqSpace;
struct MmSpace;

// The difference of two positions.
template <class Space>
struct Offset {
  double x = 0;
  double y = 0;

  double Length() const { return std::hypot(x, y); }
  friend Offset operator+(Offset a, Offset b) { return {a.x + b.x, a.y + b.y}; }
  friend Offset operator-(Offset a, Offset b) { return {a.x - b.x, a.y - b.y}; }
  friend Offset operator*(double k, Offset a) { return {k * a.x, k * a.y}; }
  friend Offset operator*(Offset a, double k) { return {k * a.x, k * a.y}; }
  friend Offset operator/(Offset a, double k) { return {a.x / k, a.y / k}; }
  friend bool operator==(const Offset&, const Offset&) = default;
};

// A position.
template <class Space>
struct Point {
  double x = 0;
  double y = 0;

  friend Offset<Space> operator-(Point a, Point b) { return {a.x - b.x, a.y - b.y}; }
  friend Point operator+(Point a, Offset<Space> d) { return {a.x + d.x, a.y + d.y}; }
  friend Point operator-(Point a, Offset<Space> d) { return {a.x - d.x, a.y - d.y}; }
  friend bool operator==(const Point&, const Point&) = default;
};

template <class Space>
double Dot(Offset<Space> a, Offset<Space> b) {
  return a.x * b.x + a.y * b.y;
}
template <class Space>
double Cross(Offset<Space> a, Offset<Space> b) {
  return a.x * b.y - a.y * b.x;
}
template <class Space>
double Distance(Point<Space> a, Point<Space> b) {
  return (a - b).Length();
}
template <class Space>
Point<Space> Lerp(Point<Space> a, Point<Space> b, double t) {
  return a + t * (b - a);
}

using PointPx = Point<PxSpace>;
using PointSq = Point<SqSpace>;
using PointMm = Point<MmSpace>;
using OffsetPx = Offset<PxSpace>;
using OffsetSq = Offset<SqSpace>;
using OffsetMm = Offset<MmSpace>;

// aspect: width / height of one pixel.
inline PointSq SqFromPx(PointPx p, double aspect) { return {p.x * aspect, p.y}; }
inline PointPx PxFromSq(PointSq p, double aspect) { return {p.x / aspect, p.y}; }
inline std::vector<PointSq> SqFromPx(const std::vector<PointPx>& points, double aspect) {
  std::vector<PointSq> out;
  out.reserve(points.size());
  for (const PointPx p : points) out.push_back(SqFromPx(p, aspect));
  return out;
}

}  // namespace afterscope
