// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/step_list.hpp"
#include "annotate/clip/clip_plan.hpp"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What the keys make of the playhead, and what is changed in a plan. Pure.

inline constexpr double kQuickClipSeconds = 120;

// What is looked at while parts are made.
struct ClipPlace {
  const Review& review;
  const StepList& steps;
  const CaseClock& clock;
  FrameRef at;  // the playhead
};

// The whole visit that runs at the playhead, with its step as heading; empty where none runs.
std::optional<ClipPart> PartOfStepHere(const ClipPlace& place);
// Every visit of the step that runs at the playhead, in order of time; none where none runs.
std::vector<ClipPart> PartsOfThisStep(const ClipPlace& place);
// This frame, shown for some seconds, with the words of the moment on it as heading.
ClipPart StillHere(const ClipPlace& place);
// The clip of one key, at most two minutes: round the moment on this frame; else the step that runs here, or
// of a longer one the two minutes round the playhead within it; else what lies round the playhead.
ClipPart QuickPart(const ClipPlace& place);

// The next speed up (1) or down (-1) of 1/8, 1/4, 1/2, 1, 2, 4, 8; the last one stays.
double NextPartSpeed(double speed, int direction);
// Exchanges a part with its neighbour before (-1) or after it (1). Where it is then.
std::size_t MovePart(std::vector<ClipPart>& parts, std::size_t index, int direction);

// How long a part, or the whole plan, is shown.
double PartSeconds(const ClipPart& part, const CaseClock& clock);
double PlanSeconds(const ClipPlan& plan, const CaseClock& clock);
// "Rhexis", else "Part 2".
std::string PartTitle(const ClipPart& part, std::size_t index);

// "S02-318-rhexis.mp4": the case's code ("clip" without one; never another name) and what is in it, with a
// number where that is taken.
std::string ClipFileName(const std::string& code, const std::string& what, const std::string& ending,
                         const std::function<bool(const std::string&)>& taken);

// A plan with all that it was before, so that a change can be taken back.
class ClipBook {
 public:
  const ClipPlan& plan() const { return plan_; }
  std::uint64_t revision() const { return revision_; }  // counts up with every change
  void Open(ClipPlan plan);                             // another plan; nothing to take back
  // Nothing where it is the same. `goes_on`: it is taken back together with the change before it, as when
  // something is dragged along.
  void Change(ClipPlan next, bool goes_on = false);
  bool Undo();
  bool Redo();

 private:
  ClipPlan plan_;
  std::vector<ClipPlan> before_, after_;
  std::uint64_t revision_ = 0;
};

}  // namespace afterscope
