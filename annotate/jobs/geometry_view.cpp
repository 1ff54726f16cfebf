// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/geometry_view.hpp"

#include "annotate/jobs/scale_choice.hpp"
#include "metrics/geometry/closed_curve.hpp"
#include "metrics/geometry/outline_model.hpp"
#include "metrics/geometry/polygon.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace afterscope {
namespace {

constexpr int kOverlapDirections = 72;

OutlineView ViewOutline(const Mark& mark, double aspect) {
  OutlineView out{mark.id, mark.kind, mark.at, {}, SqFromPx(mark.points, aspect), {}, {}, false};
  if (const auto stage = mark.fields.find("stage"); stage != mark.fields.end()) out.stage = stage->second;
  const auto curve = SmoothClosedCurve::Through(out.curve);
  if (!curve) return out;
  out.self_crossing = SelfCrossing(out.curve);
  out.curve = curve->Sample();
  out.centre = Centroid(out.curve);
  out.best_circle = FitCircle(out.curve);
  return out;
}

const OutlineView* Find(const std::vector<OutlineView>& outlines, MarkKind kind) {
  const auto found = std::find_if(outlines.rbegin(), outlines.rend(),
                                  [&](const OutlineView& o) { return o.kind == kind && o.best_circle; });
  return found == outlines.rend() ? nullptr : &*found;
}

std::optional<DialView> ViewDial(const CaseRecord& record, const std::vector<OutlineView>& outlines,
                                 int recording) {
  const std::optional<EyeOrientation> orientation = OrientationOf(record, recording);
  if (!orientation) return std::nullopt;
  for (const MarkKind kind : {MarkKind::kLimbus, MarkKind::kPupil, MarkKind::kRhexis}) {
    const OutlineView* outline = Find(outlines, kind);
    if (!outline) continue;
    DialView out{outline->best_circle->centre, outline->best_circle->radius * 1.08, {}, {}, {},
                 record.orientation_confirmed};
    for (int hour = 1; hour <= 12; ++hour)
      out.hours.push_back(PictureFromDial(*orientation, DialFromClockHour(hour)));
    if (record.eye != Eye::kUnknown) {
      out.temporal = PictureFromDial(*orientation, TemporalDirection(record.eye == Eye::kRight));
      out.nasal = -1 * out.temporal;
    }
    return out;
  }
  return std::nullopt;
}

// The longest round length that takes no more than a fifth of the picture's width.
double RoundLength(double widest_mm) {
  constexpr std::array kLengths{10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1};
  for (const double mm : kLengths)
    if (mm <= widest_mm) return mm;
  return kLengths.back();
}

std::optional<ScaleBarView> ViewScaleBar(const CaseRecord& record, const Review& review, FrameRef at) {
  const std::vector<ResolvedScale> scales = ResolveScales(record, review, {});
  const auto chosen = ChooseScale(scales, at, Plane::kCornea, FactsOf(record));
  if (!chosen) return std::nullopt;
  const auto i = static_cast<std::size_t>(std::max(at.recording, 0));
  const int width = i < record.recordings.size() ? record.recordings[i].shape.width : 0;
  const double shown_sq = width > 0 ? width * PixelAspectOf(record, at.recording) : 1000;
  ScaleBarView out;
  out.mm = RoundLength(shown_sq / 5 * chosen->mm_per_sq);
  out.length_sq = out.mm / chosen->mm_per_sq;
  out.relative_sd = chosen->relative_sd;
  out.scale = chosen->source->id;
  out.outside_stretch = chosen->outside_stretch;
  return out;
}

const Mark* LastOn(const Review& review, FrameRef at, MarkKind kind) {
  const Mark* found = nullptr;
  for (const Mark& mark : review.marks)
    if (mark.at == at && mark.kind == kind) found = &mark;
  return found;
}

std::optional<OverlapView> ViewOverlap(const CaseRecord& record, const Review& review, FrameRef at) {
  const Mark *rhexis = LastOn(review, at, MarkKind::kRhexis), *lens = LastOn(review, at, MarkKind::kLensEdge);
  const Mark* pupil = LastOn(review, at, MarkKind::kPupil);
  if (!rhexis || !lens) return std::nullopt;
  const double aspect = PixelAspectOf(record, at.recording);
  const auto model = [&](const Mark* m) {
    return OutlineModel::Fit(SqFromPx(m->points, aspect), {}, nullptr);
  };
  const auto inner = model(rhexis), outer = model(lens);
  const auto iris = pupil ? model(pupil) : std::nullopt;
  if (!inner || !outer) return std::nullopt;
  auto map = MapOverlap(*inner, *outer, iris ? &*iris : nullptr, kOverlapDirections, nullptr);
  if (!map) return std::nullopt;
  return OverlapView{rhexis->id, lens->id, std::move(*map)};
}

}  // namespace

FrameGeometry ViewFrame(const CaseRecord& record, const Review& review, FrameRef at) {
  FrameGeometry out;
  out.at = at;
  const double aspect = PixelAspectOf(record, at.recording);
  for (const Mark& mark : review.marks)
    if (mark.at == at && IsOutline(mark.kind)) out.outlines.push_back(ViewOutline(mark, aspect));
  out.dial = ViewDial(record, out.outlines, at.recording);
  out.scale_bar = ViewScaleBar(record, review, at);
  out.overlap = ViewOverlap(record, review, at);
  return out;
}

std::optional<EyeOrientation> OrientationOf(const CaseRecord& record, int recording) {
  if (!record.seat_clock_hour) return std::nullopt;
  EyeOrientation out;
  out.seat = DialFromClockHour(*record.seat_clock_hour);
  out.mirrored = record.picture_mirrored;
  out.turned_deg = record.picture_turned_deg;
  const auto i = static_cast<std::size_t>(std::max(recording, 0));
  if (i < record.recordings.size()) out.rotation_deg = record.recordings[i].shape.rotation_deg;
  return out;
}

double PixelAspectOf(const CaseRecord& record, int recording) {
  const auto i = static_cast<std::size_t>(std::max(recording, 0));
  if (i >= record.recordings.size() || !record.recordings[i].shape.pixel_aspect.valid()) return 1;
  return record.recordings[i].shape.pixel_aspect.value();
}

}  // namespace afterscope
