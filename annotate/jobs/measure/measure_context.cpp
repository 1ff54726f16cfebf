// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/measure_context.hpp"

#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/jobs/geometry_view.hpp"
#include "annotate/jobs/measure/input_digest.hpp"
#include "annotate/jobs/measure/marking_repeats.hpp"
#include "annotate/jobs/measure/prepared_trail.hpp"
#include "metrics/series/draws.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kSameZoom = 0.015;  // of the logarithm: less is error of following, or the eye's own motion
constexpr double kZoomSd = 0.004;    // relative, of a zoom ratio as followed
constexpr const char* kBeyond = "its size is beyond what can be computed";
constexpr double kUnknownFrame = 1.0 / 25;  // seconds, where neither the recording nor its time base tells

// Whether anything is measured against that outline's size or centre. A limbus that only tells where the eye
// was needs no draws.
bool NeedsDraws(const Review& review, const Mark& mark) {
  return mark.kind != MarkKind::kLimbus ||
         std::any_of(review.marks.begin(), review.marks.end(), [&](const Mark& other) {
           return other.at == mark.at && other.kind != MarkKind::kLimbus;
         });
}

MarkedOutline Model(const MeasureContext& context, const Mark& mark, unsigned seed) {
  MarkedOutline out;
  out.mark = &mark;
  out.model = OutlineModel::Fit(context.Points(mark), context.error, &out.reason);
  if (out.model && NeedsDraws(context.review, mark))
    out.draws = MeasureShape(*out.model, std::max(context.options.simulations, 100), seed,
                             mark.kind == MarkKind::kRhexis);
  return out;
}

void AddScaleCautions(const ChosenScale& chosen, Measured& out) {
  if (chosen.source->scale)
    for (const std::string& caution : chosen.source->scale->cautions) out.cautions.push_back(caution);
  if (chosen.outside_stretch)
    out.cautions.push_back("the scale was taken outside the stretch it holds for; the zoom may have changed");
  if (chosen.zoom_followed)
    out.cautions.push_back(
        "the zoom changed since the scale was taken; the change is followed and taken out");
}

Measured Scaled(const DrawnSize& size, const ChosenScale& chosen, double factor, double relative_sd) {
  Measured out{EstimateScaled(size.draws, factor, relative_sd, size.power, size.seed),
               size.power == 2 ? "mm2" : "mm",
               fmt::format("{}; scale: {}", size.method, chosen.source->method),
               {}};
  if (!out.estimate) out.cautions.emplace_back(kBeyond);
  AddScaleCautions(chosen, out);
  return out;
}

}  // namespace

const char* const kNoScaleReason =
    "no scale: mark the limbus by eight or more points, or an object of known size";

MeasureContext::MeasureContext(const CaseRecord& r, const Review& v, const StepList& s,
                               const MeasureOptions& o, const Followed& f)
    : record(r), review(v), steps(s), options(o), followed(f), clock(r.recordings), facts(FactsOf(r)) {
  std::vector<const Review*> reviews = options.others;
  reviews.push_back(&review);
  const MarkingRepeats repeats = FindRepeats(record, reviews);
  error = ErrorFromRepeats({options.marking_sd_px, options.marking_bias_px}, repeats);
  error_said = SayMarkingError(error, repeats);
  scales = ResolveScales(record, review, error);
  unsigned number = 100;
  for (const Mark& mark : review.marks)
    if (IsOutline(mark.kind) && !Stopped(options.stop))
      outlines.push_back(Model(*this, mark, Seed(number++)));
  for (const FollowedEye& eye : followed.eyes) eyes.emplace_back(eye, clock);
}

const EyeTrack* MeasureContext::EyeIn(int recording) const {
  const auto eye = std::find_if(eyes.begin(), eyes.end(),
                                [&](const EyeTrack& e) { return e.eye().recording == recording; });
  return eye == eyes.end() ? nullptr : &*eye;
}

std::optional<ChosenScale> MeasureContext::ScaleAt(FrameRef at, Plane plane) const {
  auto chosen = ChooseScale(scales, at, plane, facts);
  const EyeTrack* eye = EyeIn(at.recording);
  if (!chosen || !eye || chosen->source->at.recording != at.recording || eye->ZoomChanges().empty())
    return chosen;
  const auto there = eye->ZoomAt(clock.Seconds(chosen->source->at)), here = eye->ZoomAt(clock.Seconds(at));
  if (!there || !here) {
    chosen->outside_stretch = true;
    return chosen;
  }
  const double factor = *there / *here;
  if (std::abs(std::log(factor)) < kSameZoom) return chosen;
  for (double* k : {&chosen->mm_per_sq, &chosen->as_seen_mm_per_sq}) *k *= factor;
  for (double* sd : {&chosen->relative_sd, &chosen->as_seen_relative_sd}) *sd = std::hypot(*sd, kZoomSd);
  chosen->outside_stretch = false, chosen->zoom_followed = true;
  return chosen;
}

std::vector<PointSq> MeasureContext::Points(const Mark& mark) const {
  return SqFromPx(mark.points, PixelAspectOf(record, mark.at.recording));
}

const MarkedOutline* MeasureContext::OutlineOn(FrameRef at, MarkKind kind) const {
  const auto found = std::find_if(outlines.rbegin(), outlines.rend(), [&](const MarkedOutline& o) {
    return o.mark->at == at && o.mark->kind == kind && o.model;
  });
  return found == outlines.rend() ? nullptr : &*found;
}

std::optional<EyeOrientation> MeasureContext::Orientation(FrameRef at) const {
  return OrientationOf(record, at.recording);
}

double MeasureContext::FrameSeconds(FrameRef at) const {
  const auto i = static_cast<std::size_t>(std::max(at.recording, 0));
  if (i >= record.recordings.size()) return kUnknownFrame;
  const RecordingShape& shape = record.recordings[i].shape;
  if (shape.frame > TickSpan{}) return shape.frame.Seconds(shape.time_base);
  const double tick = shape.time_base.value();
  // Of a case made before the interval was kept: a table of step times has one tick a frame.
  return tick >= 0.005 && tick <= 0.25 ? tick : kUnknownFrame;
}

Finding MakeFinding(const MeasureContext& context, std::string name, Measured measured,
                    const Origin& origin) {
  Finding out;
  out.name = std::move(name);
  out.measured = std::move(measured);
  if (const auto& e = out.measured.estimate; e && !std::isfinite(e->value + e->low + e->high)) {
    out.measured.estimate.reset();
    out.measured.cautions.insert(out.measured.cautions.begin(), kBeyond);
  }
  out.step = origin.step;
  out.operator_code = origin.operator_code;
  for (const Mark* mark : origin.marks) {
    out.marks.push_back(mark->id);
    if (std::find(out.frames.begin(), out.frames.end(), mark->at) == out.frames.end())
      out.frames.push_back(mark->at);
  }
  if (origin.trail) {
    out.trail = origin.trail->id;
    if (!origin.trail->points.empty()) {
      out.frames.push_back(origin.trail->points.front().at);
      out.frames.push_back(origin.trail->points.back().at);
    }
  }
  if (origin.eye && out.frames.empty()) out.frames.push_back({origin.eye->recording, origin.eye->reference});
  const bool by_hand = !origin.marks.empty() || (origin.trail && !IsFollowed(*origin.trail));
  if (by_hand && !context.error_said.empty()) out.measured.method += "; " + context.error_said;
  if (origin.scale) out.scale = origin.scale->id;
  out.input_digest = InputDigest(context, out, origin);
  return out;
}

Measured InPlane(const MeasureContext& context, const DrawnSize& size, Plane plane,
                 const ResolvedScale** scale) {
  const auto chosen = context.ScaleAt(size.at, plane);
  if (!chosen) return NotMeasured(size.power == 2 ? "mm2" : "mm", size.method, kNoScaleReason);
  if (scale) *scale = chosen->source;
  return Scaled(size, *chosen, chosen->mm_per_sq, chosen->relative_sd);
}

Measured AsSeen(const MeasureContext& context, const DrawnSize& size, Plane plane,
                const ResolvedScale** scale) {
  const auto chosen = context.ScaleAt(size.at, plane);
  if (chosen) {
    if (scale) *scale = chosen->source;
    return Scaled(size, *chosen, chosen->as_seen_mm_per_sq, chosen->as_seen_relative_sd);
  }
  Measured out{EstimateFromDraws(size.draws), size.power == 2 ? "px2" : "px", size.method, {}};
  out.cautions.emplace_back(out.estimate ? "no scale: in pixels" : kBeyond);
  return out;
}

Measured InPlane(const MeasureContext& context, const Estimate& sq, FrameRef at, Plane plane,
                 std::string method, const ResolvedScale** scale) {
  const auto chosen = context.ScaleAt(at, plane);
  if (!chosen) return NotMeasured("mm", std::move(method), kNoScaleReason);
  if (scale) *scale = chosen->source;
  const double k = chosen->mm_per_sq, by_scale = kNormal95 * chosen->relative_sd * std::abs(sq.value) * k;
  const double below = std::hypot((sq.value - sq.low) * k, by_scale),
               above = std::hypot((sq.high - sq.value) * k, by_scale);
  Measured out{Estimate{sq.value * k, sq.value * k - below, sq.value * k + above, sq.level},
               "mm",
               fmt::format("{}; scale: {}", method, chosen->source->method),
               {}};
  AddScaleCautions(*chosen, out);
  return out;
}

std::vector<Finding> MeasureReview(const CaseRecord& record, const Review& review, const StepList& steps,
                                   const MeasureOptions& options, const Followed& followed) {
  const Followed current = CurrentOf(followed, record, review, nullptr);
  const Review whole = WithFollowed(review, current);
  const MeasureContext context(record, whole, steps, options, current);
  std::vector<Finding> out;
  for (const auto part :
       {MeasureTimes, MeasureScales, MeasureRhexis, MeasureRepeatedRhexis, MeasureGrasps, MeasurePupil,
        MeasureFollowedEye, MeasureIncisions, MeasureTunnels, MeasureTrails, MeasureTipZone})
    if (!Stopped(options.stop)) part(context, out);
  return out;
}

}  // namespace afterscope
