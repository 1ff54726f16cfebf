// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/phantom_truth.hpp"

#include "annotate/jobs/phantom/ideal_reviewer.hpp"
#include "metrics/phantom/true_shape.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace afterscope {
namespace {

using phantom::FactsOf;
using phantom::ShapeFacts;

constexpr double kPathStep = 0.005;

class ValueList {
 public:
  TrueValue& Add(const std::string& name, double value, const std::string& unit) {
    values_.push_back({name, value, unit, {}, {}, {}, {}, {}, {}});
    return values_.back();
  }
  void AtMark(const std::string& name, double value, const std::string& unit, const std::string& plane,
              const MarkId& mark) {
    TrueValue& added = Add(name, value, unit);
    added.plane = plane;
    added.mark = mark;
  }
  std::vector<TrueValue> Take() { return std::move(values_); }

 private:
  std::vector<TrueValue> values_;
};

// Seconds on the case clock of the first frame at or after an instant: the sum of the durations of the frames
// before it, each file's last frame lasting as the file says.
double CaseSeconds(const PhantomFrames& frames, double instant) {
  const FrameRef at = frames.At(instant);
  double before = 0;
  for (int i = 0; i < at.recording; ++i) {
    const RecordingShape& shape = frames.recordings[static_cast<std::size_t>(i)].shape;
    before += (shape.end - shape.first).Seconds(shape.time_base);
  }
  const RecordingShape& shape = frames.recordings[static_cast<std::size_t>(at.recording)].shape;
  return before + (at.pts - shape.first).Seconds(shape.time_base);
}

void AddTimes(const phantom::Script& script, const PhantomFrames& frames, const WhoOperates& who,
              ValueList& list) {
  std::map<std::string, double> by_operator;
  int take_overs = 0;
  bool taken = false;
  for (const phantom::StepSpan& step : script.steps) {
    const double start = CaseSeconds(frames, step.start_s);
    const double end = CaseSeconds(frames, step.end_s);
    const double change = step.taken_over_s ? CaseSeconds(frames, *step.taken_over_s) : end;
    list.Add("time.step_total", end - start, "s").step = step.key;
    list.Add("time.step_first_start", start, "s").step = step.key;
    for (const auto& [code, seconds] :
         {std::pair{who.operator_code, change - start}, std::pair{who.supervisor_code, end - change}}) {
      if (seconds <= 0) continue;
      TrueValue& value = list.Add("time.step_total", seconds, "s");
      value.step = step.key;
      value.operator_code = code;
      by_operator[code] += seconds;
    }
    if (step.taken_over_s && !(taken && *step.taken_over_s == step.start_s)) ++take_overs;
    taken = step.taken_over_s.has_value();
  }
  const double first = CaseSeconds(frames, script.steps.front().start_s);
  list.Add("time.whole", CaseSeconds(frames, script.steps.back().end_s) - first, "s");
  list.Add("time.take_overs", take_overs, "count");
  double sum = 0;
  for (const auto& [code, seconds] : by_operator) sum += seconds;
  for (const auto& [code, seconds] : by_operator) {
    list.Add("time.operator_total", seconds, "s").operator_code = code;
    list.Add("time.operator_share", seconds / sum, "1").operator_code = code;
  }
}

void AddOutline(const std::string& prefix, const ShapeFacts& facts, double magnification,
                const std::string& plane, const MarkId& mark, ValueList& list) {
  const auto length = [&](const std::string& name, double mm) {
    list.AtMark(prefix + name, mm, "mm", plane, mark);
    list.AtMark(prefix + name + ".as_seen", mm * magnification, "mm", plane, mark);
  };
  length("diameter_largest", facts.largest_diameter_mm);
  length("diameter_smallest", facts.smallest_diameter_mm);
  length("diameter_equivalent", facts.equivalent_diameter_mm);
  list.AtMark(prefix + "area", facts.area_mm2, "mm2", plane, mark);
  list.AtMark(prefix + "area.as_seen", facts.area_mm2 * magnification * magnification, "mm2", plane, mark);
  list.AtMark(prefix + "circularity", facts.circularity, "1", plane, mark);
  list.AtMark(prefix + "axis_ratio", facts.smallest_diameter_mm / facts.largest_diameter_mm, "1", plane,
              mark);
}

// The centre of another outline, given in true mm of its own plane, from the rhexis' centre: both as seen,
// then in the rhexis' plane.
void AddCentration(const std::string& name, PointMm rhexis, double magnification, PointMm other,
                   double other_magnification, const std::string& plane, const MarkId& mark,
                   ValueList& list) {
  const double share = other_magnification / magnification;
  list.AtMark(name, Distance(rhexis, {other.x * share, other.y * share}), "mm", plane, mark);
}

void AddRhexis(const phantom::Phantom& phantom, ValueList& list) {
  const phantom::Scene& scene = phantom.scene();
  const phantom::Script& script = phantom.script();
  const auto rhexis = scene.rhexis.Polygon();
  const ShapeFacts facts = FactsOf(rhexis);
  const PointMm limbus = FactsOf(scene.eye.Limbus().Polygon()).centroid;
  const double capsule = scene.eye.CapsuleMagnification();
  const double optic = scene.eye.OpticMagnification();
  const auto pupil = [&](double instant) {
    return FactsOf(PupilShape(scene, script.pupil_mm.At(instant)).Polygon());
  };
  const ShapeFacts pupil_then = pupil(CompletionInstant(script));
  const ShapeFacts pupil_at_end = pupil(FinalInstant(script));
  AddOutline("rhexis.", facts, capsule, "capsule", marked::kRhexis, list);
  AddCentration("rhexis.off_pupil", facts.centroid, capsule, pupil_then.centroid, capsule, "capsule",
                marked::kRhexis, list);
  AddCentration("rhexis.off_limbus", facts.centroid, capsule, limbus, 1, "capsule", marked::kRhexis, list);
  AddOutline("rhexis.over_optic.", facts, optic, "lens", marked::kRhexisOverOptic, list);
  AddCentration("rhexis.over_optic.off_pupil", facts.centroid, optic, pupil_at_end.centroid, capsule, "lens",
                marked::kRhexisOverOptic, list);
  AddCentration("rhexis.over_optic.off_limbus", facts.centroid, optic, limbus, 1, "lens",
                marked::kRhexisOverOptic, list);
  // Overlap of the optic's edge by the capsule in each direction from the middle of the optic.
  const PointMm centre = script.lens_centre.At(FinalInstant(script));
  double least = 1e9;
  double most = -1e9;
  for (const PointMm p : rhexis) {
    const double overlap = scene.eye.optic_diameter_mm / 2 - Distance(p, centre);
    least = std::min(least, overlap);
    most = std::max(most, overlap);
  }
  list.AtMark("rhexis.over_optic.overlap_least", least, "mm", "lens", marked::kRhexisOverOptic);
  list.AtMark("rhexis.over_optic.overlap_most", most, "mm", "lens", marked::kRhexisOverOptic);
  list.AtMark("pupil.diameter", pupil_then.equivalent_diameter_mm, "mm", "capsule", marked::kPupil);
  list.AtMark("pupil.diameter.as_seen", pupil_then.equivalent_diameter_mm * capsule, "mm", "capsule",
              marked::kPupil);
}

void AddIncisions(const phantom::Phantom& phantom, ValueList& list) {
  const phantom::Scene& scene = phantom.scene();
  const PointMm limbus = FactsOf(scene.eye.Limbus().Polygon()).centroid;
  double directions[2] = {};
  for (const bool main_incision : {true, false}) {
    const auto ends = WoundEnds(scene, main_incision);
    const MarkId& mark = main_incision ? marked::kMainIncision : marked::kSidePort;
    const OffsetMm middle = Lerp(ends[0], ends[1], 0.5) - limbus;
    const double dial = scene.eye.DialDegrees(std::atan2(middle.y, middle.x));
    directions[main_incision ? 0 : 1] = dial;
    list.AtMark("incision.width", Distance(ends[0], ends[1]), "mm", "cornea", mark);
    list.AtMark("incision.axis", std::fmod(dial, 180.0), "deg", "cornea", mark);
  }
  const double apart = std::abs(directions[0] - directions[1]);
  list.Add("incision.angle_between", std::min(apart, 360 - apart), "deg").plane = "cornea";
}

void AddScales(const phantom::Phantom& phantom, ValueList& list) {
  const phantom::Script& script = phantom.script();
  const auto at = [&](double instant, const MarkId& mark) {
    list.AtMark("scale.mm_per_px", 1 / phantom.Truth(instant).eye.px_per_mm, "mm/px", "cornea", mark);
  };
  at(CompletionInstant(script), marked::kLimbus);
  at(FinalInstant(script), marked::kLimbusAtEnd);
  list.Add("scale.factor_capsule", phantom.scene().eye.CapsuleMagnification(), "1");
  list.Add("scale.factor_lens", phantom.scene().eye.OpticMagnification(), "1");
}

// From the first frame of the forceps in the eye to the last.
std::vector<HalfOpen<double>> InTheEye(const phantom::Script& script, const PhantomFrames& frames) {
  std::vector<HalfOpen<double>> out;
  for (const phantom::ToolUse& use : script.tools)
    if (use.tool == phantom::Tool::kForceps)
      out.push_back(
          {frames.seconds[frames.IndexAt(use.enter_s)], frames.seconds[frames.IndexAt(use.leave_s) - 1]});
  return out;
}

const phantom::ToolUse* ForcepsDuring(const phantom::Script& script, HalfOpen<double> stretch) {
  for (const phantom::ToolUse& use : script.tools)
    if (use.tool == phantom::Tool::kForceps && use.start_s <= stretch.start && stretch.end <= use.end_s)
      return &use;
  return nullptr;
}

void AddPath(const phantom::Phantom& phantom, const std::vector<HalfOpen<double>>& stretches,
             const PathBand& band, ValueList& list) {
  double length = 0, seconds = 0, straight = 0;
  for (const HalfOpen<double> stretch : stretches) {
    const phantom::ToolUse* use = ForcepsDuring(phantom.script(), stretch);
    if (!use) continue;
    const auto path =
        FilteredPath(phantom.scene(), *use, stretch.start, stretch.end, kPathStep, band.cutoff_hz(), 2);
    length += phantom::PathLength(path);
    straight += Distance(path.front(), path.back());
    seconds += stretch.end - stretch.start;
  }
  if (!(length > 0)) return;
  const auto add = [&](const std::string& name, double value, const std::string& unit) {
    TrueValue& added = list.Add(name, value, unit);
    added.plane = "capsule";
    added.trail = marked::kRhexisTrail;
  };
  add("path.length", length, "mm");
  add("path.length.as_seen", length * phantom.scene().eye.CapsuleMagnification(), "mm");
  add("path.speed_mean", length / seconds, "mm/s");
  add("path.economy", straight / length, "1");
}

}  // namespace

double PathBand::cutoff_hz() const { return half_power_hz / std::pow(std::sqrt(2.0) - 1, 0.25); }

std::vector<TrueValue> TrueValues(const phantom::Phantom& phantom, const PhantomFrames& frames,
                                  const WhoOperates& who, const PathBand& band) {
  ValueList list;
  AddTimes(phantom.script(), frames, who, list);
  AddScales(phantom, list);
  AddRhexis(phantom, list);
  AddIncisions(phantom, list);
  AddPath(phantom, InTheEye(phantom.script(), frames), band, list);
  return list.Take();
}

std::vector<TrueValue> TruePath(const phantom::Phantom& phantom,
                                const std::vector<HalfOpen<double>>& stretches, const PathBand& band) {
  ValueList list;
  AddPath(phantom, stretches, band, list);
  return list.Take();
}

}  // namespace afterscope
