// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/ideal_reviewer.hpp"

#include "metrics/phantom/random.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
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
    for (int i = 0; i < points; ++i) {
      const double angle = turn + (i + random_.Between(-0.2, 0.2)) * 2 * std::numbers::pi / points;
      mark.points.push_back(Placed(truth.eye.Of(shape.At(angle), magnification), truth.seconds));
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

EditGroup MarkTrail(const Phantom& phantom, const PhantomFrames& frames, const ReviewerOptions& options) {
  EditGroup group{"Mark the forceps' tip", {}};
  const phantom::ToolUse* use = ForcepsOf(phantom.script());
  const phantom::StepSpan* step = phantom.script().Step("rhexis");
  if (!use || !step) return group;
  Hand hand(phantom, frames, options, 2);
  Trail trail;
  trail.id = marked::kRhexisTrail;
  trail.instrument = "forceps";
  trail.hand = "main";
  const std::size_t first = frames.IndexAt(use->enter_s);
  const std::size_t last = frames.IndexAt(use->leave_s);
  double tracked = -1e9;
  int number = 0;
  for (std::size_t i = first; i < last; ++i) {
    const InstantTruth truth = phantom.Truth(frames.seconds[i]);
    for (const phantom::ToolTruth& tool : truth.tools)
      if (tool.tool == phantom::Tool::kForceps)
        trail.points.push_back(
            {frames.refs[i], hand.Off(SqOf(phantom.scene(), tool.tip), 1), TrailSource::kHand, 1});
    const bool jerk = i > first && EyeJerks(phantom.script(), frames.seconds[i - 1], frames.seconds[i]);
    if (frames.seconds[i] - tracked < options.track_seconds && i + 1 < last && !jerk) continue;
    tracked = frames.seconds[i];
    group.edits.push_back(Put<Mark>{hand.Outline({fmt::format("track-{}", ++number)}, MarkKind::kLimbus,
                                                 phantom.scene().eye.Limbus(), 1, options.track_points, i)});
  }
  const FrameRef start = frames.At(step->start_s);
  const FrameRef end = frames.At(step->end_s);
  if (start < frames.refs[first]) trail.gaps.push_back({{start, frames.refs[first]}, true});
  if (frames.At(use->leave_s) < end) trail.gaps.push_back({{frames.At(use->leave_s), end}, true});
  group.edits.push_back(Put<Trail>{std::move(trail)});
  return group;
}

}  // namespace afterscope
