// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/parts.hpp"

namespace afterscope {

namespace {

struct OverlapLook {
  Role role;
  LineStyle style;
  double width_pt;
};

OverlapLook LookOf(Overlap kind) {
  switch (kind) {
    case Overlap::kOverlapped:
      return {Role::kOverlapped, LineStyle::kSolid, 3.0};
    case Overlap::kBare:
      return {Role::kBare, LineStyle::kDashed, 3.0};
    case Overlap::kUncertain:
      return {Role::kUncertain, LineStyle::kDotted, 3.0};
    case Overlap::kHiddenByIris:
      return {Role::kHiddenByIris, LineStyle::kDashDot, 1.5};
  }
  return {Role::kUncertain, LineStyle::kDotted, 3.0};
}

// Half way between a sector and the next, so that neighbours meet.
PointSq Border(const OverlapMap& map, std::size_t i) {
  const OverlapSector& a = map.sectors[i % map.sectors.size()];
  const OverlapSector& b = map.sectors[(i + 1) % map.sectors.size()];
  return Lerp(map.centre + a.optic_radius * a.direction, map.centre + b.optic_radius * b.direction, 0.5);
}

PointSq Middle(const OverlapMap& map, std::size_t i) {
  const OverlapSector& sector = map.sectors[i % map.sectors.size()];
  return map.centre + sector.optic_radius * sector.direction;
}

// The first sector that differs from the one before it; 0 if all are alike.
std::size_t FirstChange(const std::vector<OverlapSector>& sectors) {
  for (std::size_t i = 0; i < sectors.size(); ++i)
    if (sectors[i].kind != sectors[(i + sectors.size() - 1) % sectors.size()].kind) return i;
  return 0;
}

}  // namespace

void AddOverlap(const OverlapView& overlap, ShapeList& shapes) {
  const OverlapMap& map = overlap.map;
  const std::size_t count = map.sectors.size();
  if (count < 3) return;
  const std::size_t first = FirstChange(map.sectors);
  for (std::size_t done = 0; done < count;) {
    const std::size_t begin = first + done;
    const Overlap kind = map.sectors[begin % count].kind;
    const OverlapLook look = LookOf(kind);
    PolylineShape run{look.role, {Border(map, begin + count - 1)}, false, false, look.width_pt, look.style};
    while (done < count && map.sectors[(first + done) % count].kind == kind) {
      run.points.push_back(Middle(map, first + done));
      run.points.push_back(Border(map, first + done));
      ++done;
    }
    shapes.emplace_back(std::move(run));
  }
}

}  // namespace afterscope
