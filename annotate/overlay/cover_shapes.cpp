// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/cover.hpp"
#include "annotate/overlay/parts.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace afterscope {
namespace {

constexpr int kSides = 72;

void Fill(std::vector<PointSq> points, ShapeList& shapes) {
  shapes.emplace_back(PolylineShape{Role::kCover, std::move(points), true, true, 1.0});
}

struct Box {
  double left, top, right, bottom;

  static Box Between(PointSq a, PointSq b) {
    return {std::min(a.x, b.x), std::min(a.y, b.y), std::max(a.x, b.x), std::max(a.y, b.y)};
  }
  PointSq Middle() const { return {(left + right) / 2, (top + bottom) / 2}; }
  bool Contains(PointSq p) const { return p.x > left && p.x < right && p.y > top && p.y < bottom; }
  std::vector<PointSq> Corners() const {
    return {{left, top}, {right, top}, {right, bottom}, {left, bottom}};
  }
  // On the ellipse that the box holds.
  PointSq OnEllipse(int side) const {
    const double angle = 2 * std::numbers::pi * side / kSides;
    const PointSq middle = Middle();
    return {middle.x + (right - left) / 2 * std::cos(angle), middle.y + (bottom - top) / 2 * std::sin(angle)};
  }
  // Where the way from a point within to another one beyond leaves the box, and by which edge (0 to 3).
  struct Exit {
    PointSq at;
    int edge;
  };
  Exit ExitOf(PointSq within, OffsetSq way) const {
    double best = std::numeric_limits<double>::infinity();
    int edge = 0;
    const auto meet = [&](double room, double speed, int which) {
      if (speed <= 0 || room / speed >= best) return;
      best = room / speed;
      edge = which;
    };
    meet(within.y - top, -way.y, 0);
    meet(right - within.x, way.x, 1);
    meet(bottom - within.y, way.y, 2);
    meet(within.x - left, -way.x, 3);
    return {within + best * way, edge};
  }
};

// Edges of the decoded picture; (0, 0) is the centre of the first pixel.
Box PictureOf(const FrameView& view) {
  const RecordingShape& shape = view.record.recordings[static_cast<std::size_t>(view.at.recording)].shape;
  return {-0.5 * view.aspect, -0.5, (shape.width - 0.5) * view.aspect, shape.height - 0.5};
}

// Wedges between the ellipse and the picture's edges, each of them convex.
void FillOutside(const Box& hole, const Box& picture, ShapeList& shapes) {
  const PointSq middle = hole.Middle();
  if (!picture.Contains(middle) || hole.right <= hole.left || hole.bottom <= hole.top)
    return Fill(picture.Corners(), shapes);
  const std::vector<PointSq> corners = picture.Corners();
  for (int side = 0; side < kSides; ++side) {
    const PointSq from = hole.OnEllipse(side);
    const PointSq to = hole.OnEllipse(side + 1);
    if (!picture.Contains(from) && !picture.Contains(to)) continue;
    const Box::Exit first = picture.ExitOf(middle, from - middle);
    const Box::Exit last = picture.ExitOf(middle, to - middle);
    std::vector<PointSq> wedge{picture.Contains(from) ? from : first.at, first.at};
    // Round the picture from edge to edge: a corner ends each of them.
    for (int edge = first.edge; edge != last.edge; edge = (edge + 1) % 4)
      wedge.push_back(corners[static_cast<std::size_t>((edge + 1) % 4)]);
    wedge.push_back(last.at);
    wedge.push_back(picture.Contains(to) ? to : last.at);
    Fill(std::move(wedge), shapes);
  }
}

}  // namespace

void AddCover(const FrameView& view, const Mark& mark, ShapeList& shapes) {
  const std::vector<PointSq> points = view.Points(mark);
  if (points.size() < 2) return;
  const Box box = Box::Between(points[0], points[1]);
  switch (ShapeOfCover(mark)) {
    case CoverShape::kBox:
      return Fill(box.Corners(), shapes);
    case CoverShape::kOutside:
      return FillOutside(box, PictureOf(view), shapes);
    case CoverShape::kEllipse:
      std::vector<PointSq> round;
      for (int side = 0; side < kSides; ++side) round.push_back(box.OnEllipse(side));
      Fill(std::move(round), shapes);
  }
}

}  // namespace afterscope
