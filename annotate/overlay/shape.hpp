// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <string>
#include <variant>
#include <vector>

namespace afterscope {

// What a shape stands for; the painter's theme gives it a colour. Roles that lie beside each other differ in
// line style too, so that colour is never the only sign.
enum class Role {
  kLimbus,
  kPupil,
  kRhexis,
  kRhexisIdeal,
  kLensEdge,
  kIncision,
  kTip,
  kTrail,
  kTipMap,
  kRuler,
  kArrow,
  kLabel,
  kCover,
  kDial,
  kOverlapped,
  kBare,
  kUncertain,
  kHiddenByIris,
  kHandle,
};

enum class LineStyle { kSolid, kDashed, kDotted, kDashDot };

// All positions are in square pixels of the frame; widths and sizes in points of the output, so that lines
// look alike on screen, in print and in a clip.
struct PolylineShape {
  Role role = Role::kLimbus;
  std::vector<PointSq> points;
  bool closed = false;
  bool filled = false;
  double width_pt = 1.5;
  LineStyle style = LineStyle::kSolid;
};
struct DotShape {
  Role role = Role::kHandle;
  PointSq at;
  double radius_pt = 3;
};
struct TextShape {
  Role role = Role::kLabel;
  PointSq at;        // of the anchor
  std::string text;  // UTF-8, any script
  double size_pt = 11;
  double anchor_x = 0;  // 0: text starts at `at`; 0.5: centred; 1: ends there
  double anchor_y = 0;  // 0: text hangs below `at`; 1: stands on it
};

// What lies within an odd number of the closed outlines, tinted, with a line along them.
struct AreaShape {
  Role role = Role::kTipMap;
  std::vector<std::vector<PointSq>> outlines;
  double opacity = 0.25;  // of the tint
  double width_pt = 1;
};

using Shape = std::variant<PolylineShape, DotShape, TextShape, AreaShape>;
using ShapeList = std::vector<Shape>;  // painted in order

}  // namespace afterscope
