// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/dial_shapes.hpp"

#include "annotate/overlay/parts.hpp"

#include <fmt/format.h>

#include <cmath>

namespace afterscope {

namespace {

// Distances from the centre, as shares of the ring's radius.
constexpr double kTick = 0.025;
constexpr double kLongTick = 0.05;
constexpr double kHourAt = 1.085;
constexpr double kDegreeAt = 1.215;
constexpr double kSideAt = 1.35;

PointSq On(const Dial& dial, Angle direction, double share) {
  return dial.centre + share * dial.ring_radius * PictureFromDial(dial.orientation, direction);
}

void AddRing(const Dial& dial, ShapeList& shapes) {
  constexpr int kPoints = 180;
  shapes.emplace_back(
      PolylineShape{Role::kDial, CirclePoints(dial.centre, dial.ring_radius, kPoints), true, false, 0.8});
  for (int degrees = 0; degrees < 360; degrees += 10) {
    const Angle direction = Angle::Degrees(degrees);
    const double length = degrees % 30 == 0 ? kLongTick : kTick;
    shapes.emplace_back(
        PolylineShape{Role::kDial,
                      {On(dial, direction, 1 - length / 2), On(dial, direction, 1 + length / 2)},
                      false,
                      false,
                      degrees % 30 == 0 ? 1.0 : 0.6});
  }
}

void AddNumbers(const Dial& dial, ShapeList& shapes) {
  for (int hour = 1; hour <= 12; ++hour) {
    const Angle direction = DialFromClockHour(hour);
    shapes.emplace_back(
        TextShape{Role::kDial, On(dial, direction, kHourAt), fmt::format("{}", hour), 9, 0.5, 0.5});
    shapes.emplace_back(TextShape{Role::kDial, On(dial, direction, kDegreeAt),
                                  fmt::format("{:.0f}°", WrappedDirection(direction).degrees()), 5.5, 0.5,
                                  0.5});
  }
}

// Where the words go beside a point outside the ring: they start, end or are centred there.
TextShape SideWord(const Dial& dial, Angle direction, const std::string& word) {
  const OffsetSq way = PictureFromDial(dial.orientation, direction);
  return {Role::kDial, On(dial, direction, kSideAt), word, 7, 0.5 - 0.5 * way.x, 0.5 - 0.5 * way.y};
}

void AddSides(const Dial& dial, ShapeList& shapes) {
  if (dial.eye == Eye::kUnknown) return;
  const Angle temporal = TemporalDirection(dial.eye == Eye::kRight);
  shapes.emplace_back(SideWord(dial, temporal, dial.temporal_word));
  shapes.emplace_back(SideWord(dial, temporal + Angle::Degrees(180), dial.nasal_word));
}

}  // namespace

void AddDial(const Dial& dial, ShapeList& shapes) {
  if (!(dial.ring_radius > 0) || !std::isfinite(dial.ring_radius)) return;
  AddRing(dial, shapes);
  AddNumbers(dial, shapes);
  AddSides(dial, shapes);
}

void AddIncisionArc(const Dial& dial, PointSq from, PointSq to, ShapeList& shapes) {
  const OffsetSq a = from - dial.centre;
  const OffsetSq b = to - dial.centre;
  if (!(a.Length() > 0) || !(b.Length() > 0)) return;
  const double start = std::atan2(a.y, a.x);
  const double turn = std::atan2(Cross(a, b), Dot(a, b));  // the short way round
  constexpr int kSteps = 24;
  PolylineShape arc{Role::kIncision, {}, false, false, 4.0};
  for (int i = 0; i <= kSteps; ++i) {
    const double angle = start + turn * i / kSteps;
    arc.points.push_back(dial.centre + dial.ring_radius * OffsetSq{std::cos(angle), std::sin(angle)});
  }
  shapes.emplace_back(std::move(arc));
}

}  // namespace afterscope
