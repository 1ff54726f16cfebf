// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/input_digest.hpp"

#include "annotate/media/digest.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace afterscope {
namespace {

// Raised when a method changes what it computes from the same input.
constexpr int kMethodVersion = 4;

using Text = std::string;

template <class... Args>
void Add(Text& text, fmt::format_string<Args...> format, Args&&... args) {
  fmt::format_to(std::back_inserter(text), format, std::forward<Args>(args)...);
  text += '\n';
}

void AddFrame(Text& text, FrameRef at) { Add(text, "at {} {}", at.recording, at.pts.ticks); }

void AddMark(Text& text, const Mark& mark) {
  Add(text, "mark {} {}", mark.id.value, static_cast<int>(mark.kind));
  AddFrame(text, mark.at);
  for (const PointPx p : mark.points) Add(text, "{} {}", p.x, p.y);
  for (const auto& [key, value] : mark.fields) Add(text, "{}={}", key, value);
}

void AddTrail(Text& text, const Trail& trail) {
  Add(text, "trail {}", trail.id.value);
  for (const TrailPoint& p : trail.points) {
    AddFrame(text, p.at);
    Add(text, "{} {} {}", p.tip.x, p.tip.y, static_cast<int>(p.source));
  }
  for (const TrailGap& gap : trail.gaps) {
    AddFrame(text, gap.range.start);
    AddFrame(text, gap.range.end);
    Add(text, "out {}", gap.out_of_eye);
  }
}

void AddVisits(Text& text, const Review& review) {
  for (const StepVisit& v : review.visits) {
    Add(text, "visit {} {} {} {}", v.step, v.lane, v.operator_code, v.taken_over);
    AddFrame(text, v.start);
    if (v.end) AddFrame(text, *v.end);
  }
}

void AddNumber(Text& text, const char* name, const std::optional<double>& value) {
  if (value) Add(text, "{} {}", name, *value);
}

void AddCase(Text& text, const CaseRecord& r) {
  Add(text, "case {} {} {} {} {}", static_cast<int>(r.eye), r.operator_code, r.supervisor_code,
      r.picture_mirrored, r.picture_turned_deg);
  AddNumber(text, "planned", r.planned_rhexis_mm);
  Add(text, "kind {}", static_cast<int>(r.planned_rhexis_kind));
  AddNumber(text, "optic", r.optic_diameter_mm);
  AddNumber(text, "cornea", r.corneal_diameter_mm);
  AddNumber(text, "power", r.corneal_power_d);
  AddNumber(text, "depth", r.chamber_depth_mm);
  AddNumber(text, "seat", r.seat_clock_hour);
  for (const RecordingRef& ref : r.recordings) {
    const RecordingShape& s = ref.shape;
    Add(text, "recording {} {} {} {} {}/{} {}/{} {} {}", ref.fingerprint.sampled_sha256, ref.fingerprint.size,
        s.first.ticks, s.end.ticks, s.time_base.num, s.time_base.den, s.pixel_aspect.num, s.pixel_aspect.den,
        s.rotation_deg, s.frame.ticks);
  }
}

void AddEye(Text& text, const FollowedEye& eye) {
  Add(text, "eye {} {} {} {} {}", eye.recording, eye.input_digest, eye.range.start.ticks, eye.frames.size(),
      eye.sights.size());
}

void AddScale(Text& text, const MeasureContext& context, const ResolvedScale& scale) {
  Add(text, "scale {}", scale.method);
  if (scale.range) {
    AddFrame(text, scale.range->start);
    AddFrame(text, scale.range->end);
  }
  for (const Mark& mark : context.review.marks)
    if (mark.id == scale.mark) AddMark(text, mark);
}

}  // namespace

std::string InputDigest(const MeasureContext& context, const Finding& finding, const Origin& origin) {
  Text text;
  Add(text, "{} {} {}", kMethodVersion, finding.name, finding.measured.method);
  const MeasureOptions& o = context.options;
  Add(text, "{} {} {} {}", o.simulations, o.seed, context.error.point_sd, context.error.shared_sd);
  AddCase(text, context.record);
  if (finding.step || origin.trail || finding.name.starts_with("time.")) AddVisits(text, context.review);
  for (const Mark* mark : origin.marks) AddMark(text, *mark);
  if (origin.trail) AddTrail(text, *origin.trail);
  if (origin.scale) AddScale(text, context, *origin.scale);
  if (origin.eye) AddEye(text, *origin.eye);
  return Sha256Hex(text);
}

}  // namespace afterscope
