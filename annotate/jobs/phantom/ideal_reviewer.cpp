// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/ideal_reviewer.hpp"

#include "metrics/phantom/random.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <utility>

namespace afterscope {
namespace {

using phantom::InstantTruth;
using phantom::Phantom;
using phantom::PolarShape;
using phantom::Random;

class Hand {
 public:
  Hand(const Phantom& phantom, const PhantomFrames& frames, const ReviewerOptions& options, std::uint64_t tag)
      : phantom_(phantom), frames_(frames), options_(options), random_(Random(options.seed).Fork(tag)) {}

  // A mark of an outline seen with that magnification on the frame at that instant.
  Mark Outline(const MarkId& id, MarkKind kind, const PolarShape& shape, double magnification, int points,
               std::size_t frame) {
    Mark mark = On(id, kind, frame);
    const InstantTruth truth = phantom_.Truth(frames_.seconds[frame]);
    const double turn = random_.Between(0, 2 * std::numbers::pi);
    const double too_far_out = options_.shared_sd_px > 0 ? options_.shared_sd_px * random_.Normal() : 0;
    const PointSq centre = truth.eye.Of(shape.centre, magnification);
    for (int i = 0; i < points; ++i) {
      const double angle = turn + (i + random_.Between(-0.2, 0.2)) * 2 * std::numbers::pi / points;
      const PointSq at = truth.eye.Of(shape.At(angle), magnification);
      mark.points.push_back(Placed(at + too_far_out / Distance(at, centre) * (at - centre), truth.seconds));
    }
    return mark;
  }

  Mark Ends(const MarkId& id, bool main_incision, std::size_t frame) {
    Mark mark = On(id, MarkKind::kIncision, frame);
    mark.text = main_incision ? "main incision" : "side port";
    mark.fields["name"] = mark.text;
    const InstantTruth truth = phantom_.Truth(frames_.seconds[frame]);
    for (const PointMm end : phantom::WoundEnds(phantom_.scene(), main_incision))
      mark.points.push_back(Placed(truth.eye.Of(end), truth.seconds));
    return mark;
  }

  // The forceps' tip on a frame; none where there is no forceps.
  std::optional<TrailPoint> Tip(std::size_t frame) {
    for (const phantom::ToolTruth& tool : phantom_.Truth(frames_.seconds[frame]).tools)
      if (tool.tool == phantom::Tool::kForceps)
        return TrailPoint{frames_.refs[frame], Off(SqOf(phantom_.scene(), tool.tip), 1), TrailSource::kHand,
                          1};
    return std::nullopt;
  }

  // A grasp of the flap on a frame; none where there is no forceps.
  std::optional<Mark> Grasp(const MarkId& id, std::size_t frame) {
    const auto tip = Tip(frame);
    if (!tip) return std::nullopt;
    Mark mark = On(id, MarkKind::kGrasp, frame);
    mark.points = {tip->tip};
    return mark;
  }

  bool Chance(double share) { return random_.Uniform() < share; }
  double Between(double low, double high) { return random_.Between(low, high); }

  PointPx Placed(PointSq true_place, double seconds) {
    const PointPx exact = phantom::PxOf(phantom_.scene(), true_place);
    const double factor = phantom_.HiddenByLid(exact, seconds) ? options_.hidden_factor : 1;
    return Off(true_place, factor);
  }
  PointPx Off(PointSq true_place, double factor) {
    const double sd = factor * options_.marking_sd_px;
    const double dx = sd * random_.Normal();
    return phantom::PxOf(phantom_.scene(), true_place + OffsetSq{dx, sd * random_.Normal()});
  }

 private:
  Mark On(const MarkId& id, MarkKind kind, std::size_t frame) const {
    Mark mark;
    mark.id = id;
    mark.kind = kind;
    mark.at = frames_.refs[frame];
    if (kind == MarkKind::kLimbus) mark.fields["edge"] = "middle";
    return mark;
  }

  const Phantom& phantom_;
  const PhantomFrames& frames_;
  const ReviewerOptions& options_;
  Random random_;
};

std::size_t FrameAt(const PhantomFrames& frames, double instant) {
  return std::min(frames.IndexAt(instant), frames.refs.size() - 1);
}

// The frame from which the zoom is the one it has at the end; the end of the case if it never changes.
FrameRef ZoomChange(const phantom::Script& script, const PhantomFrames& frames) {
  const double last = script.zoom.last();
  for (std::size_t i = 0; i < frames.seconds.size(); ++i)
    if (script.zoom.At(frames.seconds[i]) == last && script.zoom.At(0) != last) return frames.refs[i];
  return frames.At(frames.seconds.back() + 1);
}

ScaleDef ScaleFrom(const ScaleId& id, const MarkId& limbus, HalfOpen<FrameRef> range) {
  ScaleDef scale;
  scale.id = id;
  scale.source = ScaleSource::kLimbus;
  scale.mark = limbus;
  scale.range = range;
  return scale;
}

StepVisit VisitOf(const std::string& step, int number, FrameRef start, FrameRef end) {
  StepVisit visit;
  visit.id = {fmt::format("visit-{}", number)};
  visit.step = step;
  visit.start = start;
  visit.end = end;
  return visit;
}

// Whether the eye begins or ends a quick movement in (from, to].
bool EyeJerks(const phantom::Script& script, double from, double to) {
  constexpr double kQuick = 0.4;
  for (const phantom::Reach& reach : script.eye_shift.reaches()) {
    if (reach.end_s - reach.start_s > kQuick) continue;
    for (const double at : {reach.start_s, 0.5 * (reach.start_s + reach.end_s), reach.end_s})
      if (at > from && at <= to) return true;
  }
  return false;
}

const phantom::ToolUse* ForcepsOf(const phantom::Script& script) {
  for (const phantom::ToolUse& use : script.tools)
    if (use.tool == phantom::Tool::kForceps) return &use;
  return nullptr;
}

// Without a position, with the gaps of the step in which the forceps is out of the eye.
Trail EmptyTrail(const phantom::Script& script, const PhantomFrames& frames, const phantom::ToolUse& use) {
  Trail trail;
  trail.id = marked::kRhexisTrail;
  trail.instrument = "forceps";
  trail.hand = "main";
  const phantom::StepSpan& step = *script.Step("rhexis");
  const FrameRef start = frames.At(step.start_s), end = frames.At(step.end_s);
  const FrameRef enter = frames.refs[frames.IndexAt(use.enter_s)], leave = frames.At(use.leave_s);
  if (start < enter) trail.gaps.push_back({{start, enter}, true});
  if (leave < end) trail.gaps.push_back({{leave, end}, true});
  return trail;
}

}  // namespace

double CompletionInstant(const phantom::Script& script) { return script.Step("rhexis")->end_s + 0.2; }
double FinalInstant(const phantom::Script& script) { return script.seconds - 0.5; }

EditGroup TagSteps(const phantom::Script& script, const PhantomFrames& frames,
                   const std::string& supervisor) {
  EditGroup group{"Tag the steps", {}};
  int number = 0;
  for (const phantom::StepSpan& step : script.steps) {
    const FrameRef start = frames.At(step.start_s);
    const FrameRef end = frames.At(step.end_s);
    const FrameRef taken_over = step.taken_over_s ? frames.At(*step.taken_over_s) : end;
    if (start < taken_over)
      group.edits.push_back(Put<StepVisit>{VisitOf(step.key, ++number, start, taken_over)});
    if (!(taken_over < end)) continue;
    StepVisit visit = VisitOf(step.key, ++number, taken_over, end);
    visit.taken_over = true;
    visit.operator_code = supervisor;
    group.edits.push_back(Put<StepVisit>{visit});
  }
  return group;
}

EditGroup MarkOutlines(const Phantom& phantom, const PhantomFrames& frames, const ReviewerOptions& options) {
  Hand hand(phantom, frames, options, 1);
  const phantom::Scene& scene = phantom.scene();
  const phantom::Script& script = phantom.script();
  const std::size_t complete = FrameAt(frames, CompletionInstant(script));
  const std::size_t final = FrameAt(frames, FinalInstant(script));
  const PolarShape limbus = scene.eye.Limbus();
  const double capsule = scene.eye.CapsuleMagnification();
  const double optic = scene.eye.OpticMagnification();
  const auto pupil_at = [&](std::size_t frame) {
    return PupilShape(scene, phantom.Truth(frames.seconds[frame]).pupil_mm);
  };
  EditGroup group{"Mark the outlines", {}};
  const auto add = [&](Mark mark) { group.edits.push_back(Put<Mark>{std::move(mark)}); };
  add(hand.Outline(marked::kLimbus, MarkKind::kLimbus, limbus, 1, options.limbus_points, complete));
  add(hand.Outline(marked::kPupil, MarkKind::kPupil, pupil_at(complete), capsule, options.pupil_points,
                   complete));
  Mark rhexis = hand.Outline(marked::kRhexis, MarkKind::kRhexis, scene.rhexis, capsule, options.rhexis_points,
                             complete);
  rhexis.fields["stage"] = "completion";
  add(rhexis);
  add(hand.Ends(marked::kMainIncision, true, complete));
  add(hand.Ends(marked::kSidePort, false, complete));
  add(hand.Outline(marked::kLimbusAtEnd, MarkKind::kLimbus, limbus, 1, options.limbus_points, final));
  add(hand.Outline(marked::kPupilAtEnd, MarkKind::kPupil, pupil_at(final), capsule, options.pupil_points,
                   final));
  rhexis = hand.Outline(marked::kRhexisOverOptic, MarkKind::kRhexis, scene.rhexis, optic,
                        options.rhexis_points, final);
  rhexis.fields["stage"] = "over optic";
  add(rhexis);
  add(hand.Outline(marked::kLensEdge, MarkKind::kLensEdge, OpticShape(scene, script, frames.seconds[final]),
                   optic, options.lens_points, final));
  const FrameRef begin = frames.refs.front();
  const FrameRef change = ZoomChange(script, frames);
  const FrameRef end = frames.At(frames.seconds.back() + 1);
  group.edits.push_back(Put<ScaleDef>{ScaleFrom(marked::kScale, marked::kLimbus, {begin, change})});
  const bool changed = change < end;
  group.edits.push_back(
      Put<ScaleDef>{ScaleFrom(marked::kScaleAtEnd, marked::kLimbusAtEnd, {changed ? change : begin, end})});
  return group;
}

EditGroup MarkGrasps(const Phantom& phantom, const PhantomFrames& frames, const ReviewerOptions& options) {
  EditGroup group{"Mark the grasps", {}};
  const phantom::ToolUse* use = ForcepsOf(phantom.script());
  if (!use) return group;
  Hand hand(phantom, frames, options, 3);
  std::vector<double> seen;
  for (const double grasp : phantom.script().grasps_s) {
    if (!hand.Chance(options.grasp_error)) seen.push_back(grasp);
    if (hand.Chance(options.grasp_error)) seen.push_back(hand.Between(use->enter_s, use->leave_s));
  }
  int number = 0;
  for (const double at : seen)
    if (auto mark = hand.Grasp({fmt::format("grasp-{}", ++number)}, FrameAt(frames, at)))
      group.edits.push_back(Put<Mark>{std::move(*mark)});
  return group;
}

EditGroup MarkTrail(const Phantom& phantom, const PhantomFrames& frames, const ReviewerOptions& options) {
  EditGroup group{"Mark the forceps' tip", {}};
  const phantom::ToolUse* use = ForcepsOf(phantom.script());
  if (!use || !phantom.script().Step("rhexis")) return group;
  Hand hand(phantom, frames, options, 2);
  Trail trail = EmptyTrail(phantom.script(), frames, *use);
  const std::size_t first = frames.IndexAt(use->enter_s);
  const std::size_t last = frames.IndexAt(use->leave_s);
  double tracked = -1e9;
  int number = 0;
  for (std::size_t i = first; i < last; ++i) {
    if (const auto point = hand.Tip(i)) trail.points.push_back(*point);
    const bool jerk = i > first && EyeJerks(phantom.script(), frames.seconds[i - 1], frames.seconds[i]);
    if (frames.seconds[i] - tracked < options.track_seconds && i + 1 < last && !jerk) continue;
    tracked = frames.seconds[i];
    group.edits.push_back(Put<Mark>{hand.Outline({fmt::format("track-{}", ++number)}, MarkKind::kLimbus,
                                                 phantom.scene().eye.Limbus(), 1, options.track_points, i)});
  }
  group.edits.push_back(Put<Trail>{std::move(trail)});
  return group;
}

Trail SetTips(const Phantom& phantom, const PhantomFrames& frames, const ReviewerOptions& options,
              const std::vector<FrameRef>& at, std::uint64_t round) {
  const phantom::ToolUse* use = ForcepsOf(phantom.script());
  if (!use || !phantom.script().Step("rhexis")) return {};
  Hand hand(phantom, frames, options, 1000 + round);
  Trail trail = EmptyTrail(phantom.script(), frames, *use);
  for (const FrameRef place : at) {
    const auto frame = std::lower_bound(frames.refs.begin(), frames.refs.end(), place);
    if (frame == frames.refs.end() || *frame != place) continue;
    const auto i = static_cast<std::size_t>(frame - frames.refs.begin());
    const bool in_eye = frames.seconds[i] >= use->enter_s && frames.seconds[i] < use->leave_s;
    if (const auto point = in_eye ? hand.Tip(i) : std::nullopt) trail.points.push_back(*point);
  }
  return trail;
}

}  // namespace afterscope
