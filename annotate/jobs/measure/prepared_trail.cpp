// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/prepared_trail.hpp"

#include "annotate/case/operator_name.hpp"
#include "annotate/case/visits.hpp"
#include "annotate/jobs/geometry_view.hpp"
#include "annotate/jobs/measure/marked_eye.hpp"

#include <algorithm>
#include <map>
#include <string>

namespace afterscope {
namespace {

bool InGap(const Trail& trail, FrameRef at) {
  return std::any_of(trail.gaps.begin(), trail.gaps.end(),
                     [&](const TrailGap& g) { return g.range.Contains(at); });
}

bool GapBetween(const Trail& trail, FrameRef a, FrameRef b) {
  return std::any_of(trail.gaps.begin(), trail.gaps.end(), [&](const TrailGap& g) {
    return !g.range.empty() && g.range.start < b && a < g.range.end;
  });
}

// Who operates in the visit (first lane) that runs there; empty outside of any.
std::string OperatorAt(const MeasureContext& context, FrameRef at) {
  const StepVisit* visit = RunningVisit(context.review, at);
  return visit ? OperatorName(context.record, *visit) : "";
}

// Of the trail, in visits of others than its operator.
double SecondsOfOthers(const MeasureContext& context, const Trail& trail) {
  const std::string whose = OperatorOfTrail(context, trail);
  double seconds = 0;
  for (std::size_t i = 1; i < trail.points.size(); ++i) {
    const std::string who = OperatorAt(context, trail.points[i].at);
    const FrameRef last = trail.points[i - 1].at;
    if (who.empty() || who == whose || GapBetween(trail, last, trail.points[i].at)) continue;
    seconds += context.clock.Seconds(trail.points[i].at) - context.clock.Seconds(last);
  }
  return seconds;
}

// The samples in the eye's frame, in square pixels of the trail's first frame; those at which the eye was not
// followed are left out. Empty where it was followed on none.
TipStretch InFollowedEye(const EyeTrack& eye, double zoom, const TipStretch& samples) {
  TipStretch out;
  for (const TipSample& s : samples)
    if (const auto at = eye.InEye(s.at, s.seconds)) out.push_back({s.seconds, {zoom * at->x, zoom * at->y}});
  return out;
}

// Later runs may lie between the same marks.
void Append(const FrameError& more, FrameError& error) {
  for (const double seconds : more.seconds)
    if (error.seconds.empty() || seconds > error.seconds.back()) error.seconds.push_back(seconds);
  error.sd = std::max(error.sd, more.sd);
}

// A place set by hand among followed ones, which join over it, would count its own marking error as path: it
// is taken from the two on either side (third-degree).
std::vector<TrailPoint> Settled(std::vector<TrailPoint> run) {
  const std::vector<TrailPoint> as_set = run;
  const auto followed = [&](std::size_t i) { return as_set[i].source == TrailSource::kFollowed; };
  for (std::size_t i = 2; i + 2 < run.size(); ++i) {
    if (followed(i) || !followed(i - 2) || !followed(i - 1) || !followed(i + 1) || !followed(i + 2)) continue;
    const auto at = [&](double PointPx::*axis) {
      return (4 * (as_set[i - 1].tip.*axis + as_set[i + 1].tip.*axis) - as_set[i - 2].tip.*axis -
              as_set[i + 2].tip.*axis) /
             6;
    };
    run[i].tip = {at(&PointPx::x), at(&PointPx::y)};
  }
  return run;
}

}  // namespace

std::string OperatorOfTrail(const MeasureContext& context, const Trail& trail) {
  std::map<std::string, int> points;
  for (const TrailPoint& p : trail.points)
    if (const std::string who = OperatorAt(context, p.at); !who.empty()) ++points[who];
  const auto most = std::max_element(points.begin(), points.end(),
                                     [](const auto& a, const auto& b) { return a.second < b.second; });
  return most == points.end() ? "" : most->first;
}

std::optional<std::string> OtherOperator(const MeasureContext& context, const Trail& trail) {
  const std::string whose = OperatorOfTrail(context, trail);
  if (whose.empty() || whose == OperatorName(context.record)) return std::nullopt;
  return whose;
}

std::vector<std::vector<TrailPoint>> TrailRuns(const MeasureContext& context, const Trail& trail) {
  const std::string whose = OperatorOfTrail(context, trail);
  std::vector<std::vector<TrailPoint>> out;
  bool others = false;
  for (const TrailPoint& p : trail.points) {
    if (InGap(trail, p.at)) continue;
    const std::string who = OperatorAt(context, p.at);
    others |= !who.empty() && who != whose;
    if (!who.empty() && who != whose) continue;
    if (out.empty() || others || out.back().back().at.recording != p.at.recording ||
        GapBetween(trail, out.back().back().at, p.at))
      out.emplace_back();
    out.back().push_back(p);
    others = false;
  }
  return out;
}

bool IsFollowed(const Trail& trail) {
  const auto followed = std::count_if(trail.points.begin(), trail.points.end(),
                                      [](const TrailPoint& p) { return p.source == TrailSource::kFollowed; });
  return 2 * static_cast<std::size_t>(followed) > trail.points.size();
}

PreparedTrail PrepareTrail(const MeasureContext& context, const Trail& trail) {
  PreparedTrail out;
  out.others_seconds = SecondsOfOthers(context, trail);
  std::optional<double> first_zoom;
  for (const std::vector<TrailPoint>& run : TrailRuns(context, trail)) {
    TipStretch samples;
    for (const TrailPoint& p : Settled(run)) {
      const double seconds = context.clock.Seconds(p.at);
      if (!samples.empty() && seconds <= samples.back().seconds) continue;
      samples.push_back({seconds, SqFromPx(p.tip, PixelAspectOf(context.record, p.at.recording))});
    }
    const EyeTrack* eye = context.EyeIn(run.front().at.recording);
    if (eye && !first_zoom) first_zoom = eye->ZoomAt(samples.front().seconds);
    TipStretch followed = eye && first_zoom ? InFollowedEye(*eye, *first_zoom, samples) : TipStretch();
    if (2 * followed.size() > samples.size()) {
      const double frame = (samples.back().seconds - samples.front().seconds) /
                           std::max(1.0, static_cast<double>(samples.size() - 1));
      out.eye_followed = true;
      out.eye_lost_seconds += frame * static_cast<double>(samples.size() - followed.size());
      for (TipStretch& stretch : SplitAtGaps(followed)) out.stretches.push_back(std::move(stretch));
      continue;
    }
    const auto motion =
        MarkedEye::During(context, run.front().at.recording, samples.front().seconds, samples.back().seconds);
    if (motion) {
      const PointSq origin = motion->At(samples.front().seconds);
      for (TipSample& s : samples) s.at = s.at - (motion->At(s.seconds) - origin);
      out.eye_marks.insert(out.eye_marks.end(), motion->marks().begin(), motion->marks().end());
      Append(motion->Error(context.error.point_sd), out.eye_error);
    } else {
      out.eye_frame = false;
    }
    for (TipStretch& stretch : SplitAtGaps(samples)) out.stretches.push_back(std::move(stretch));
  }
  return out;
}

}  // namespace afterscope
