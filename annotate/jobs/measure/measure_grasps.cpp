// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/visits.hpp"
#include "annotate/jobs/measure/measure_context.hpp"
#include "annotate/jobs/measure/prepared_trail.hpp"
#include "metrics/rhexis/grasps.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

namespace afterscope {
namespace {

const char* const kGraspsMethod =
    "grasps of the flap that were marked in the step, those of one frame counted once; a reviewer overlooks "
    "and adds one in twenty (common practice, no source)";
const char* const kRegraspsMethod =
    "grasps of the flap less one; a reviewer overlooks and adds one grasp in twenty (common practice, no "
    "source), and what the trail puts in doubt is in the limits";

// In which the capsule is opened.
constexpr std::array kSteps{"rhexis", "capsule_opening"};

// Common practice, no source: jaws that close on a flap do not travel faster than this, as seen.
constexpr double kTooFastMm = 4;
constexpr double kAroundGrasp = 0.15;  // seconds to either side

struct Grasps {
  std::vector<const Mark*> marks;  // one a frame, in order of time
  std::vector<double> seconds;
  std::vector<HalfOpen<double>> visits;  // of the step; empty: it is not tagged
  std::string step;
  int elsewhere = 0;  // marks outside of it
};

Grasps FindGrasps(const MeasureContext& context) {
  Grasps out;
  for (const StepVisit& visit : context.review.visits) {
    if (visit.lane != 0 || std::find(kSteps.begin(), kSteps.end(), visit.step) == kSteps.end()) continue;
    const FrameRef end = EndOf(context.review, visit, context.clock.end());
    out.visits.push_back({context.clock.Seconds(visit.start), context.clock.Seconds(end)});
    out.step = visit.step;
  }
  std::vector<const Mark*> marks;
  for (const Mark& mark : context.review.marks)
    if (mark.kind == MarkKind::kGrasp) marks.push_back(&mark);
  std::sort(marks.begin(), marks.end(), [](const Mark* a, const Mark* b) { return a->at < b->at; });
  for (const Mark* mark : marks) {
    if (!out.marks.empty() && out.marks.back()->at == mark->at) continue;
    const double at = context.clock.Seconds(mark->at);
    const bool within = std::any_of(out.visits.begin(), out.visits.end(),
                                    [&](const auto& visit) { return at >= visit.start && at < visit.end; });
    if (!out.visits.empty() && !within) {
      ++out.elsewhere;
      continue;
    }
    out.marks.push_back(mark), out.seconds.push_back(at);
  }
  return out;
}

// The trail that has most positions in the step (anywhere, where that is not tagged); null: there is none.
const Trail* TrailOf(const MeasureContext& context, const Grasps& grasps) {
  const Trail* best = nullptr;
  std::ptrdiff_t most = 0;
  for (const Trail& trail : context.review.trails) {
    const auto within = [&](const TrailPoint& p) {
      const double at = context.clock.Seconds(p.at);
      return grasps.visits.empty() ||
             std::any_of(grasps.visits.begin(), grasps.visits.end(),
                         [&](const auto& visit) { return at >= visit.start && at < visit.end; });
    };
    const auto count = std::count_if(trail.points.begin(), trail.points.end(), within);
    if (count > most) most = count, best = &trail;
  }
  return best;
}

TipStays StaysOf(const MeasureContext& context, const Trail& trail) {
  TipStays out;
  for (const TrailGap& gap : trail.gaps)
    if (gap.out_of_eye)
      out.out_of_eye.push_back(
          {context.clock.Seconds(gap.range.start), context.clock.Seconds(gap.range.end)});
  std::sort(out.out_of_eye.begin(), out.out_of_eye.end(),
            [](const auto& a, const auto& b) { return a.start < b.start; });
  double from = context.clock.Seconds(trail.points.front().at);
  const double last = context.clock.Seconds(trail.points.back().at);
  for (const HalfOpen<double>& gap : out.out_of_eye) {
    if (gap.start > from) out.in_eye.push_back({from, gap.start});
    from = std::max(from, gap.end);
  }
  if (last > from) out.in_eye.push_back({from, last});
  return out;
}

// From place to place over 0.3 s, square pixels a second; negative where the tip is not known then.
double SpeedAt(const std::vector<TipStretch>& stretches, double seconds) {
  for (const TipStretch& stretch : stretches) {
    const TipSample *before = nullptr, *after = nullptr;
    for (const TipSample& s : stretch) {
      if (s.seconds <= seconds - kAroundGrasp) before = &s;
      if (s.seconds >= seconds + kAroundGrasp && !after) after = &s;
    }
    if (before && after && after->seconds - before->seconds < 4 * kAroundGrasp)
      return Distance(before->at, after->at) / (after->seconds - before->seconds);
  }
  return -1;
}

std::vector<std::string> DoubtsSaid(const GraspDoubts& doubts) {
  std::vector<std::string> out;
  if (doubts.outside > 0)
    out.push_back(
        fmt::format("doubt: {} marked while the trail has the tip out of the eye",
                    doubts.outside == 1 ? "1 grasp is" : fmt::format("{} grasps are", doubts.outside)));
  if (doubts.moving > 0)
    out.push_back(
        fmt::format("doubt: {} marked while the tip moves too fast to take anything",
                    doubts.moving == 1 ? "1 grasp is" : fmt::format("{} grasps are", doubts.moving)));
  if (doubts.without > 0)
    out.push_back(fmt::format("doubt: the tip was {} in the eye without a grasp being marked",
                              doubts.without == 1 ? "once" : fmt::format("{} times", doubts.without)));
  return out;
}

GraspDoubts DoubtsOf(const MeasureContext& context, const Grasps& grasps, const Trail& trail) {
  const PreparedTrail prepared = PrepareTrail(context, trail);
  std::vector<double> speeds;
  for (const double seconds : grasps.seconds) speeds.push_back(SpeedAt(prepared.stretches, seconds));
  const auto scale = context.ScaleAt(trail.points.front().at, Plane::kCapsule);
  const double too_fast = scale ? kTooFastMm / scale->as_seen_mm_per_sq : HUGE_VAL;
  return DoubtGrasps(grasps.seconds, speeds, StaysOf(context, trail), too_fast);
}

}  // namespace

void MeasureGrasps(const MeasureContext& context, std::vector<Finding>& out) {
  const Grasps grasps = FindGrasps(context);
  Origin origin;
  origin.marks = grasps.marks;
  if (!grasps.step.empty()) origin.step = grasps.step;
  const auto put = [&](const char* name, Measured measured) {
    out.push_back(MakeFinding(context, name, std::move(measured), origin));
  };
  if (grasps.marks.empty()) {
    const std::string reason =
        grasps.elsewhere > 0 ? "no grasp is marked within the rhexis" : "no grasp of the flap is marked";
    put("rhexis.grasps", NotMeasured("count", kGraspsMethod, reason));
    put("rhexis.regrasps", NotMeasured("count", kRegraspsMethod, reason));
    return;
  }
  std::vector<std::string> cautions;
  if (grasps.visits.empty()) cautions.push_back("the step of the rhexis is not tagged: all grasps count");
  if (grasps.elsewhere > 0)
    cautions.push_back(
        fmt::format("{} marked outside of the step, not counted",
                    grasps.elsewhere == 1 ? "1 grasp is" : fmt::format("{} grasps are", grasps.elsewhere)));
  GraspDoubts doubts;
  if (const Trail* trail = TrailOf(context, grasps)) {
    origin.trail = trail;
    doubts = DoubtsOf(context, grasps, *trail);
    for (std::string& said : DoubtsSaid(doubts)) cautions.push_back(std::move(said));
  }
  const Estimate regrasps = CountRegrasps(static_cast<int>(grasps.marks.size()), doubts);
  put("rhexis.grasps", {Estimate{regrasps.value + 1, regrasps.low + 1, regrasps.high + 1, regrasps.level},
                        "count", kGraspsMethod, cautions});
  put("rhexis.regrasps", {regrasps, "count", kRegraspsMethod, cautions});
}

}  // namespace afterscope
