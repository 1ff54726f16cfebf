// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/step_list.hpp"
#include "app/desktop/player/play_plan.hpp"

#include <optional>
#include <set>
#include <string>

namespace afterscope {

// What the user asked to be played. Pure.
struct PlayChoice {
  std::optional<HalfOpen<FrameRef>> loop;  // again and again, before all else
  std::set<std::string> steps;             // only these
  bool tagged = false;                     // only what lies in a step
  std::optional<FrameRef> loop_from;       // the start of a stretch whose end is still to come

  bool Everything() const { return !loop && steps.empty() && !tagged; }
};

PlayPlan PlanOf(const PlayChoice& choice, const Review& review, FrameRef end_of_case);

// "loops 2:03.1 – 2:15.0", "only rhexis, cortex", "only what is tagged"; empty: everything.
std::string ChoiceWords(const PlayChoice& choice, const StepList& steps, const CaseClock& clock);

// What a key does to it, by its name in the key map: "loop step", "loop from here", "loop to here", "only
// this step", "only tagged", "play everything"; `at`: where the playhead is. What the user is told; empty
// where it is none of these.
std::string DoPlayChoice(PlayChoice& choice, const std::string& action, const Review& review,
                         const StepList& steps, const CaseClock& clock, FrameRef at);

}  // namespace afterscope
