// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/scale_choice.hpp"

#include "annotate/jobs/geometry_view.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

// Spread of a known size where none is given, as a share: common practice, no source.
constexpr double kObjectSd = 0.01, kRulerSd = 0.005, kLensSd = 0.005;

const Mark* FindMark(const Review& review, const MarkId& id) {
  const auto found =
      std::find_if(review.marks.begin(), review.marks.end(), [&](const Mark& m) { return m.id == id; });
  return found == review.marks.end() ? nullptr : &*found;
}

KnownLength CornealDiameter(const CaseRecord& record, const ScaleDef* def, std::string& said) {
  const std::optional<double> given = def && def->known_mm ? def->known_mm : record.corneal_diameter_mm;
  if (!given) {
    said =
        "the population's mean horizontal corneal diameter, 11.71 +- 0.42 mm, as this eye's was not measured";
    return kPopulationCornealDiameter;
  }
  const double sd = def && def->known_sd_mm ? *def->known_sd_mm : kMeasuredCornealDiameterSd;
  said = fmt::format("this eye's horizontal corneal diameter, {:.2f} +- {:.2f} mm", *given, sd);
  return {*given, sd};
}

void FromLimbus(const CaseRecord& record, const ScaleDef* def, const Mark& mark,
                const std::vector<PointSq>& points, const MarkingError& error, ResolvedScale& out) {
  std::string said;
  const KnownLength known = CornealDiameter(record, def, said);
  out.method = fmt::format(
      "limbus outline (middle of the grey transition), diameter along the 0-180 degree meridian; {}", said);
  out.scale = ScaleFromLimbus(points, OrientationOf(record, mark.at.recording), known, error, &out.reason);
  const bool population = !record.corneal_diameter_mm && !(def && def->known_mm);
  if (out.scale && population)
    out.scale->cautions.push_back(
        "the corneal diameter is the population's: its spread of 3.6 % is in every millimetre");
}

void FromKnownSize(const CaseRecord& record, const ScaleDef& def, const Mark& mark,
                   const std::vector<PointSq>& points, const MarkingError& error, ResolvedScale& out) {
  const bool lens = mark.kind == MarkKind::kLensEdge;
  const std::optional<double> mm = def.known_mm || !lens ? def.known_mm : record.optic_diameter_mm;
  if (!mm) {
    out.reason = "the size of the object is not given";
    return;
  }
  const double share = lens ? kLensSd : def.source == ScaleSource::kRuler ? kRulerSd : kObjectSd;
  const KnownLength known{*mm, def.known_sd_mm.value_or(share * *mm)};
  const char* what = lens ? "lens optic" : def.source == ScaleSource::kRuler ? "ruler" : "object";
  out.method = fmt::format("{} of {:.3g} +- {:.2g} mm", what, known.mm, known.sd);
  if (lens) {
    out.scale = ScaleFromRound(points, known, def.plane, error, &out.reason);
  } else if (points.size() == 2) {
    out.scale = ScaleFromLength(points[0], points[1], known, def.plane, error, &out.reason);
  } else {
    out.reason = "a known length needs two points";
  }
}

ResolvedScale Resolve(const CaseRecord& record, const ScaleDef* def, const Mark& mark,
                      const MarkingError& error) {
  ResolvedScale out;
  out.mark = mark.id;
  out.at = mark.at;
  if (def) {
    out.id = def->id;
    out.range = def->range;
  }
  const std::vector<PointSq> points = SqFromPx(mark.points, PixelAspectOf(record, mark.at.recording));
  if (!def || def->source == ScaleSource::kLimbus)
    FromLimbus(record, def, mark, points, error, out);
  else
    FromKnownSize(record, *def, mark, points, error, out);
  return out;
}

bool Named(const Review& review, const MarkId& mark) {
  return std::any_of(review.scales.begin(), review.scales.end(),
                     [&](const ScaleDef& s) { return s.mark == mark; });
}

bool AnyHolds(const std::vector<ResolvedScale>& scales, FrameRef at) {
  return std::any_of(scales.begin(), scales.end(),
                     [&](const ResolvedScale& s) { return s.range && s.scale && s.HoldsAt(at); });
}

}  // namespace

bool ResolvedScale::HoldsAt(FrameRef frame) const {
  return range ? range->Contains(frame) : frame.recording == at.recording;
}

std::vector<ResolvedScale> ResolveScales(const CaseRecord& record, const Review& review,
                                         const MarkingError& error) {
  std::vector<ResolvedScale> out;
  for (const ScaleDef& def : review.scales) {
    if (const Mark* mark = FindMark(review, def.mark)) {
      out.push_back(Resolve(record, &def, *mark, error));
      continue;
    }
    ResolvedScale lost;
    lost.id = def.id;
    lost.mark = def.mark;
    lost.range = def.range;
    lost.reason = fmt::format("the mark {} that the scale was taken from is gone", def.mark.value);
    out.push_back(lost);
  }
  const std::vector<ResolvedScale> named = out;
  for (const Mark& mark : review.marks)
    if (mark.kind == MarkKind::kLimbus && mark.points.size() >= 8 && !Named(review, mark.id) &&
        !AnyHolds(named, mark.at))
      out.push_back(Resolve(record, nullptr, mark, error));
  return out;
}

std::optional<ChosenScale> ChooseScale(const std::vector<ResolvedScale>& scales, FrameRef at, Plane plane,
                                       const CorneaFacts& facts) {
  std::optional<ChosenScale> best;
  for (const ResolvedScale& candidate : scales) {
    if (!candidate.scale) continue;
    const Plane from = candidate.scale->plane;
    const PlaneFactor ratio = RatioBetween(plane, from, facts), seen = FactorAt(from, facts);
    const double k = candidate.scale->MmPerSq(), sd = candidate.scale->relative_sd;
    ChosenScale chosen{&candidate,
                       k * ratio.value,
                       std::hypot(sd, ratio.sd / ratio.value),
                       k * seen.value,
                       std::hypot(sd, seen.sd / seen.value),
                       !candidate.HoldsAt(at)};
    const bool nearer = best && chosen.outside_stretch != best->outside_stretch;
    if (!best || (nearer ? best->outside_stretch : chosen.relative_sd < best->relative_sd)) best = chosen;
  }
  return best;
}

CorneaFacts FactsOf(const CaseRecord& record) {
  const auto sensible = [](std::optional<double> v, double low, double high) {
    return v && *v >= low && *v <= high ? v : std::nullopt;
  };
  return {sensible(record.corneal_power_d, 20, 80), sensible(record.chamber_depth_mm, 1, 8)};
}

}  // namespace afterscope
