// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/play_choice.hpp"

#include "annotate/case/visits.hpp"
#include "app/desktop/look/clock_text.hpp"

namespace afterscope {
namespace {

std::string StretchWords(const HalfOpen<FrameRef>& stretch, const CaseClock& clock) {
  return ClockText(clock.Seconds(stretch.start), 1) + " – " + ClockText(clock.Seconds(stretch.end), 1);
}

std::string LoopStep(PlayChoice& choice, const Review& review, const StepList& steps, const CaseClock& clock,
                     FrameRef at) {
  if (choice.loop) {
    choice.loop.reset();
    return "Playing goes on past the end again";
  }
  const StepVisit* running = RunningVisit(review, at);
  if (running == nullptr) return "No step runs here; a stretch can be looped instead";
  choice.loop = {running->start, EndOf(review, *running, clock.end())};
  return "Loops " + steps.NameOf(running->step);
}

std::string LoopTo(PlayChoice& choice, const CaseClock& clock, FrameRef at) {
  if (!choice.loop_from) return "Say first where the loop starts";
  const HalfOpen<FrameRef> stretch{*choice.loop_from, at};
  if (stretch.empty()) return "The loop would end before it starts";
  choice.loop = stretch;
  choice.loop_from.reset();
  return "Loops " + StretchWords(stretch, clock);
}

std::string OnlyThisStep(PlayChoice& choice, const Review& review, const StepList& steps, FrameRef at) {
  const StepVisit* running = RunningVisit(review, at);
  if (running == nullptr) return "No step runs here";
  const std::string name = steps.NameOf(running->step);
  choice.tagged = false;
  if (choice.steps.erase(running->step) > 0) return name + " is no longer among what is played";
  choice.steps.insert(running->step);
  return choice.steps.size() == 1 ? "Only " + name + " is played" : name + " is played too";
}

}  // namespace

PlayPlan PlanOf(const PlayChoice& choice, const Review& review, FrameRef end_of_case) {
  if (choice.loop) return PlanOf(std::vector{*choice.loop}, true);
  if (choice.tagged || !choice.steps.empty()) return PlanOfSteps(review, choice.steps, end_of_case);
  return {};
}

std::string ChoiceWords(const PlayChoice& choice, const StepList& steps, const CaseClock& clock) {
  if (choice.loop) return "loops " + StretchWords(*choice.loop, clock);
  if (choice.steps.empty()) return choice.tagged ? "only what is tagged" : "";
  std::string words = "only ";
  for (const std::string& step : choice.steps)
    words += (step == *choice.steps.begin() ? "" : ", ") + steps.NameOf(step);
  return words;
}

std::string DoPlayChoice(PlayChoice& choice, const std::string& action, const Review& review,
                         const StepList& steps, const CaseClock& clock, FrameRef at) {
  if (action == "loop step") return LoopStep(choice, review, steps, clock, at);
  if (action == "loop from here") {
    choice.loop_from = at;
    return "The loop starts at " + ClockText(clock.Seconds(at), 2);
  }
  if (action == "loop to here") return LoopTo(choice, clock, at);
  if (action == "only this step") return OnlyThisStep(choice, review, steps, at);
  if (action == "only tagged") {
    choice.tagged = !choice.tagged;
    choice.steps.clear();
    return choice.tagged ? "What is not tagged is skipped" : "Everything is played";
  }
  if (action == "play everything") {
    choice = {};
    return "Everything is played";
  }
  return {};
}

}  // namespace afterscope
