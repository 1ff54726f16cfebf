// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/cover.hpp"
#include "annotate/case/incision.hpp"
#include "annotate/overlay/parts.hpp"

#include <cmath>
#include <numbers>
#include <optional>

namespace afterscope {

namespace {

struct OutlineLook {
  Role role;
  LineStyle style;
};

std::optional<OutlineLook> LookOf(MarkKind kind) {
  switch (kind) {
    case MarkKind::kLimbus:
      return OutlineLook{Role::kLimbus, LineStyle::kSolid};
    case MarkKind::kPupil:
      return OutlineLook{Role::kPupil, LineStyle::kDotted};
    case MarkKind::kRhexis:
      return OutlineLook{Role::kRhexis, LineStyle::kSolid};
    case MarkKind::kLensEdge:
      return OutlineLook{Role::kLensEdge, LineStyle::kDashDot};
    default:
      return std::nullopt;
  }
}

}  // namespace

std::vector<PointSq> CirclePoints(PointSq centre, double radius, int count) {
  std::vector<PointSq> points;
  for (int i = 0; i < count; ++i) {
    const double angle = 2 * std::numbers::pi * i / count;
    points.push_back(centre + radius * OffsetSq{std::cos(angle), std::sin(angle)});
  }
  return points;
}

void AddOutline(const OutlineView& outline, ShapeList& shapes) {
  const auto look = LookOf(outline.kind);
  if (look && outline.curve.size() >= 3)
    shapes.emplace_back(PolylineShape{look->role, outline.curve, true, false, 1.5, look->style});
}

void AddUnfinished(const FrameView& view, const Mark& mark, ShapeList& shapes) {
  const auto look = LookOf(mark.kind);
  shapes.emplace_back(PolylineShape{look ? look->role : Role::kRuler, view.Points(mark), false, false, 1.5,
                                    look ? look->style : LineStyle::kSolid});
}

void AddBestCircle(const OutlineView& outline, ShapeList& shapes) {
  if (!outline.best_circle) return;
  constexpr int kPoints = 120;
  shapes.emplace_back(PolylineShape{
      Role::kRhexisIdeal, CirclePoints(outline.best_circle->centre, outline.best_circle->radius, kPoints),
      true, false, 0.9, LineStyle::kDashed});
}

void AddHandles(const FrameView& view, const Mark& mark, double radius_pt, ShapeList& shapes) {
  Mark held = mark;
  if (mark.kind == MarkKind::kCover) held.points = GripsOfCover(mark);
  if (IsTunnel(mark)) held.points = GripsOfTunnel(mark);
  for (const PointSq point : view.Points(held))
    shapes.emplace_back(DotShape{Role::kHandle, point, radius_pt});
}

}  // namespace afterscope
