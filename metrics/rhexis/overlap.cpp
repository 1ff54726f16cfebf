// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/overlap.hpp"

#include "metrics/series/draws.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr int kDraws = 400;
constexpr unsigned kRhexisSeed = 11, kOpticSeed = 12, kPupilSeed = 13;

Overlap KindOf(const OverlapSector& sector, double slack) {
  if (sector.pupil_radius && sector.rhexis_radius > *sector.pupil_radius - slack &&
      sector.optic_radius > *sector.pupil_radius - slack)
    return Overlap::kHiddenByIris;
  if (sector.margin.low > 0) return Overlap::kOverlapped;
  return sector.margin.high < 0 ? Overlap::kBare : Overlap::kUncertain;
}

using Margins = std::vector<std::vector<double>>;  // by direction, one a draw

Margins DrawMargins(const OutlineModel& rhexis, const OutlineModel& optic, PointSq centre, int directions) {
  Margins margins(static_cast<std::size_t>(directions));
  const std::vector<RadialCurve> inner = rhexis.Draw(kDraws, kRhexisSeed),
                                 outer = optic.Draw(kDraws, kOpticSeed);
  for (std::size_t d = 0; d < inner.size(); ++d) {
    const auto r = inner[d].RadiiAbout(centre, directions), R = outer[d].RadiiAbout(centre, directions);
    if (!r || !R) continue;
    for (std::size_t i = 0; i < margins.size(); ++i) margins[i].push_back((*R)[i] - (*r)[i]);
  }
  return margins;
}

void SummariseVisible(const Margins& margins, OverlapMap& map) {
  std::vector<double> least, most, covered;
  for (std::size_t d = 0; d < margins.front().size(); ++d) {
    double low = 1e300, high = -1e300, over = 0, seen = 0;
    for (std::size_t i = 0; i < map.sectors.size(); ++i) {
      if (map.sectors[i].kind == Overlap::kHiddenByIris) continue;
      low = std::min(low, margins[i][d]);
      high = std::max(high, margins[i][d]);
      over += margins[i][d] > 0;
      ++seen;
    }
    if (seen == 0) return;
    least.push_back(low);
    most.push_back(high);
    covered.push_back(over / seen);
  }
  map.least = EstimateFromDraws(least);
  map.most = EstimateFromDraws(most);
  map.covered_share = EstimateFromDraws(covered);
}

double HiddenShare(const std::vector<double>& rhexis, const std::vector<double>& optic,
                   const std::vector<double>& pupil) {
  std::size_t hidden = 0;
  for (std::size_t i = 0; i < pupil.size(); ++i) hidden += rhexis[i] > pupil[i] && optic[i] > pupil[i];
  return static_cast<double>(hidden) / static_cast<double>(pupil.size());
}

// As the outlines lie; its limits as they might.
std::optional<Estimate> HiddenShares(const OutlineModel& rhexis, const OutlineModel& optic,
                                     const OutlineModel& pupil, PointSq centre, int directions) {
  const auto r = rhexis.Mean().RadiiAbout(centre, directions),
             R = optic.Mean().RadiiAbout(centre, directions), p = pupil.Mean().RadiiAbout(centre, directions);
  if (!r || !R || !p) return std::nullopt;
  const std::vector<RadialCurve> inner = rhexis.Draw(kDraws, kRhexisSeed),
                                 outer = optic.Draw(kDraws, kOpticSeed),
                                 iris = pupil.Draw(kDraws, kPupilSeed);
  std::vector<double> shares;
  for (std::size_t d = 0; d < inner.size(); ++d) {
    const auto a = inner[d].RadiiAbout(centre, directions), b = outer[d].RadiiAbout(centre, directions),
               c = iris[d].RadiiAbout(centre, directions);
    if (a && b && c) shares.push_back(HiddenShare(*a, *b, *c));
  }
  auto out = EstimateFromDraws(shares);
  if (!out) return out;
  out->value = HiddenShare(*r, *R, *p);
  out->low = std::min(out->low, out->value);
  out->high = std::max(out->high, out->value);
  return out;
}

}  // namespace

double OverlapMap::Share(Overlap kind) const {
  if (sectors.empty()) return 0;
  const auto count =
      std::count_if(sectors.begin(), sectors.end(), [&](const OverlapSector& s) { return s.kind == kind; });
  return static_cast<double>(count) / static_cast<double>(sectors.size());
}

std::optional<OverlapMap> MapOverlap(const OutlineModel& rhexis, const OutlineModel& optic,
                                     const OutlineModel* pupil, int directions, std::string* why) {
  OverlapMap out;
  out.centre = optic.Mean().Centroid();
  const auto inner = rhexis.Mean().RadiiAbout(out.centre, directions);
  const auto outer = optic.Mean().RadiiAbout(out.centre, directions);
  const Margins margins = DrawMargins(rhexis, optic, out.centre, directions);
  if (!inner || !outer || margins.empty() || margins.front().empty()) {
    if (why) *why = "the rhexis outline does not run round the centre of the lens edge";
    return std::nullopt;
  }
  const auto iris = pupil ? pupil->Mean().RadiiAbout(out.centre, directions) : std::nullopt;
  for (int i = 0; i < directions; ++i) {
    const auto at = static_cast<std::size_t>(i);
    const double angle = 2 * std::numbers::pi * i / directions;
    OverlapSector sector;
    sector.direction = {std::cos(angle), std::sin(angle)};
    sector.rhexis_radius = (*inner)[at];
    sector.optic_radius = (*outer)[at];
    if (iris) sector.pupil_radius = (*iris)[at];
    const auto margin = EstimateFromDraws(margins[at]);
    if (!margin) {
      if (why) *why = "the outlines are too large to be measured";
      return std::nullopt;
    }
    sector.margin = *margin;
    sector.kind = KindOf(sector, pupil ? 2 * pupil->error().point_sd : 0);
    out.sectors.push_back(sector);
  }
  SummariseVisible(margins, out);
  if (pupil) out.hidden_share = HiddenShares(rhexis, optic, *pupil, out.centre, directions);
  return out;
}

}  // namespace afterscope
