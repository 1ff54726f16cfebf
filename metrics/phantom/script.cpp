// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/script.hpp"

#include "metrics/phantom/script_writer.hpp"

#include <algorithm>
#include <iterator>

namespace afterscope::phantom {
namespace {

// A step, its share of the time for a beginner and for a master, and who writes it.
struct StepPlan {
  const char* key;
  double beginner;
  double master;
  void (ScriptWriter::*write)(const Stretch&);
};

// Shares after what full operations take (rhexis, division and removal longest), shortened.
constexpr StepPlan kPlan[] = {
    {"side_port", 2.6, 2.4, &ScriptWriter::SidePort},
    {"viscoelastic", 3.2, 3.0, &ScriptWriter::Viscoelastic},
    {"main_incision", 3.0, 2.6, &ScriptWriter::MainIncision},
    {"rhexis", 16.0, 11.0, &ScriptWriter::Rhexis},
    {"hydrodissection", 4.6, 4.0, &ScriptWriter::Hydrodissection},
    {"nucleus_division", 9.0, 7.0, &ScriptWriter::NucleusDivision},
    {"fragment_removal", 10.0, 7.5, &ScriptWriter::FragmentRemoval},
    {"cortex", 7.5, 6.0, &ScriptWriter::Cortex},
    {"bag_refill", 3.0, 2.8, &ScriptWriter::BagRefill},
    {"lens", 5.0, 4.2, &ScriptWriter::Lens},
    {"positioning", 3.4, 3.0, &ScriptWriter::Positioning},
    {"viscoelastic_removal", 4.2, 3.6, &ScriptWriter::ViscoelasticRemoval},
    {"hydration", 2.8, 2.5, &ScriptWriter::Hydration},
};

constexpr double kBefore = 1.2;  // seconds of the bare eye at the start and at the end
constexpr double kGap = 0.5;     // for changing the instrument

double PlannedSeconds(const StepPlan& step, double skill) {
  return step.beginner + skill * (step.master - step.beginner);
}

void MarkTakeOvers(const Scene& scene, std::vector<StepSpan>& steps) {
  for (const TakeOver& take_over : scene.take_overs)
    for (StepSpan& step : steps)
      if (step.key == take_over.step)
        step.taken_over_s = step.start_s + take_over.from_share * (step.end_s - step.start_s);
}

// Steps one after another, stretched to fill the operation; each a little different from time to time.
std::vector<StepSpan> PlanSteps(const Scene& scene) {
  Random random = Random(scene.seed).Fork(5);
  std::vector<double> lengths;
  double sum = 0;
  for (const StepPlan& step : kPlan) {
    lengths.push_back(PlannedSeconds(step, scene.skill) * random.Between(0.92, 1.1));
    sum += lengths.back();
  }
  const double gaps = kGap * static_cast<double>(std::size(kPlan) - 1);
  const double stretch = (scene.seconds - 2 * kBefore - gaps) / sum;
  std::vector<StepSpan> steps;
  double at = kBefore;
  for (std::size_t i = 0; i < std::size(kPlan); ++i) {
    const double length = lengths[i] * stretch;
    steps.push_back({kPlan[i].key, at, at + length, std::nullopt});
    at += length + kGap;
  }
  MarkTakeOvers(scene, steps);
  return steps;
}

void WritePupilAndLight(const Scene& scene, Script& script) {
  script.pupil_mm = Curve(scene.pupil_mm);
  const StepSpan* removal = script.Step("fragment_removal");
  if (scene.surge) {
    const double at = removal->start_s + 0.5 * (removal->end_s - removal->start_s);
    script.pupil_mm.Move(at, at + 0.35, 0.8 * scene.pupil_mm).Move(at + 0.5, at + 1.4, 0.95 * scene.pupil_mm);
    script.events.push_back(
        {at, "complication", "surge", "The chamber fell in for a moment as the third quarter went."});
  }
  script.pupil_mm.Move(removal->end_s, script.Step("lens")->start_s, 0.9 * scene.pupil_mm);
  script.capsule_depth_mm = Curve(scene.eye.chamber_depth_mm);
  script.capsule_depth_mm.Move(removal->start_s, script.Step("lens")->start_s, scene.eye.optic_depth_mm);
  script.reflex = Curve(0.8);
  script.reflex.Move(removal->start_s, removal->end_s, 1.1)
      .Move(script.Step("cortex")->start_s, script.Step("cortex")->end_s, 1.25);
}

void SetStartingState(Script& script) {
  for (Curve& quarter : script.quarter) quarter = Curve(1);
  for (Curve& sector : script.cortex) sector = Curve(1);
  script.viscoelastic = Curve(0);
  script.ultrasound = Curve(0);
  script.aspiration = Curve(0);
}

}  // namespace

const StepSpan* Script::Step(const std::string& key) const {
  const auto found =
      std::find_if(steps.begin(), steps.end(), [&](const StepSpan& s) { return s.key == key; });
  return found == steps.end() ? nullptr : &*found;
}

Script WriteScript(const Scene& scene) {
  Script script;
  script.seconds = scene.seconds;
  script.steps = PlanSteps(scene);
  SetStartingState(script);
  ScriptWriter writer(scene, script);
  for (std::size_t i = 0; i < std::size(kPlan); ++i) {
    const StepSpan& span = script.steps[i];
    const Stretch stretch{span.start_s, span.end_s, span.taken_over_s == span.start_s ? 1.0 : scene.skill};
    (writer.*kPlan[i].write)(stretch);
  }
  WritePupilAndLight(scene, script);
  writer.EyeAndMicroscope();
  std::stable_sort(script.events.begin(), script.events.end(),
                   [](const Event& a, const Event& b) { return a.at_s < b.at_s; });
  return script;
}

}  // namespace afterscope::phantom
