// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/compare/compare_screen.hpp"

#include "annotate/case/visits.hpp"
#include "annotate/jobs/earlier_cases.hpp"

#include <filesystem>
#include <optional>
#include <utility>

namespace afterscope {
namespace {

constexpr std::size_t kMostPanes = 9;

std::string FolderAround(const std::string& folder) {
  return std::filesystem::path(folder).parent_path().string();
}

// Empty where it was stopped: then it may not be all there is.
template <class Found>
std::optional<Found> UnlessStopped(Found found, const StopQuery& stop) {
  if (Stopped(stop)) return std::nullopt;
  return found;
}

}  // namespace

void CompareScreen::Forget() {
  jobs_.Renew();
  desk_.Close();
  chooser_ = {};
}

bool CompareScreen::Do(const std::string& action) {
  if (open()) return DoCompared(action);
  if (chooser_.open && DoChooser(action)) return true;
  if (action != "compare" && action != "earlier case" && action != "compare many") return false;
  const ActionScene on = window_.scene();
  const std::string step = StepHere();
  if (on.scene.view.hidden || window_.blinded())
    on.say(
        "Nothing is compared while cases are reviewed blinded: beside others it would show whose case it is.",
        true);
  else if (on.scene.view.folder.empty() || step.empty())
    on.say("Comparing needs a step; tag one first.", false);
  else if (action == "compare")
    OpenChooser(step);
  else if (action == "earlier case")
    CompareEarlier(step);
  else
    CompareGrid(step);
  return true;
}

// While cases are compared, keys speak of all of them.
bool CompareScreen::DoCompared(const std::string& action) {
  const ActionScene on = window_.scene();
  const double now = on.scene.now;
  if (action == "leave" || action == "compare")
    desk_.Close();
  else if (action == "play")
    desk_.TogglePlay(now);
  else if (action == "next frame" || action == "ten frames on")
    desk_.StepBy(action == "next frame" ? 1 : 10, now);
  else if (action == "previous frame" || action == "ten frames back")
    desk_.StepBy(action == "previous frame" ? -1 : -10, now);
  else if (action == "first frame")
    desk_.Restart(now);
  else if (action == "faster")
    desk_.Faster(now);
  else if (action == "slower")
    desk_.Slower(now);
  else if (action == "matched speed")
    desk_.ToggleMatched(now);
  else if (action == "next moment" || action == "previous moment")
    desk_.ChoosePane(action == "next moment" ? 1 : -1);
  else if (action == "remark") {
    if (!desk_.NextVisit(desk_.chosen(), now))
      on.say("This case has one visit of the step; " + on.scene.keys.KeyFor("next moment") +
                 " goes to the next case",
             false);
  } else if (action == "next boundary" || action == "previous boundary") {
    if (!desk_.ChangeStep(action == "next boundary" ? 1 : -1, now))
      on.say("There is no further step that all of these cases have", false);
  } else {
    return false;
  }
  return true;
}

bool CompareScreen::DoChooser(const std::string& action) {
  if (action == "faster" || action == "slower")
    chooser_.MoveCursor(action == "faster" ? -1 : 1);
  else if (action == "leave" || action == "compare")
    chooser_.open = false;
  else if (action == "remark" && chooser_.cursor < chooser_.cases.size())
    CompareWith(chooser_.cases[chooser_.cursor].folder, StepHere());
  else
    return false;
  return true;
}

void CompareScreen::OpenChosen() {
  if (!chooser_.chosen.empty()) CompareWith(std::exchange(chooser_.chosen, {}), StepHere());
}

// The step that runs at the playhead, else the one that was tagged last before it, else the first.
std::string CompareScreen::StepHere() const {
  const ActionScene on = window_.scene();
  const Review& review = on.scene.view.review;
  const FrameRef playhead = on.player.playhead();
  if (const StepVisit* running = RunningVisit(review, playhead)) return running->step;
  std::string step;
  for (const StepVisit& visit : review.visits)
    if (visit.lane == 0 && (step.empty() || !(playhead < visit.start))) step = visit.step;
  return step;
}

ComparedCase CompareScreen::ThisCase() const {
  const Scene scene = window_.scene().scene;
  return {scene.view.folder, scene.view.record, scene.view.review, scene.steps, window_.findings, 0};
}

void CompareScreen::OpenChooser(const std::string& step) {
  const Scene scene = window_.scene().scene;
  chooser_ = {true, {}, scene.steps.NameOf(step), {}, 0, {}};
  chooser_.looking = jobs_.Start(
      "Looking for cases",
      [around = FolderAround(scene.view.folder)](const Progress& progress, const StopQuery& stop) {
        return UnlessStopped(FindCases(around, progress, stop), stop);
      },
      [this, folder = scene.view.folder, step](const std::optional<std::vector<ShelfCase>>& found) {
        if (!chooser_.open) return;
        if (!found) return LeaveStopped();
        const Scene now = window_.scene().scene;
        const bool twice = VisitsOf(now.view.review, now.clock, step).size() > 1;
        chooser_.Offer(*found, folder, twice, window_.settings.reviewer_code);
      });
}

void CompareScreen::LeaveStopped() {
  chooser_ = {};
  window_.scene().say("Stopped: nothing is compared.", false);
}

void CompareScreen::CompareWith(const std::string& folder, const std::string& step) {
  chooser_.open = false;
  if (ComparedCase again = ThisCase(); folder == again.folder) {
    again.visit = 1;
    return Show({std::move(again)}, step);
  }
  jobs_.Start(
      "Opening the case", [folder](const Progress&, const StopQuery&) { return LoadComparedCase(folder); },
      [this, step](Result<ComparedCase> loaded) {
        const ActionScene on = window_.scene();
        if (!loaded) return on.say(loaded.error().message, true);
        if (!HasStep(loaded->review, step))
          return on.say(on.scene.steps.NameOf(step) + " was not tagged in " + CaseWords(loaded->record),
                        true);
        Show({std::move(loaded).value()}, step);
      });
}

void CompareScreen::CompareEarlier(const std::string& step) {
  const ActionScene on = window_.scene();
  const CaseRecord& record = on.scene.view.record;
  if (record.operator_code.empty() || record.date.empty())
    return on.say("An earlier case is found by operator and date: fill them in among the fields of the case.",
                  true);
  jobs_.Start(
      "Looking for the earlier case",
      [record, around = FolderAround(on.scene.view.folder), step](const Progress& progress,
                                                                  const StopQuery& stop) {
        return UnlessStopped(EarlierCaseWithStep(record, {around}, step, progress, stop), stop);
      },
      [this, step](const std::optional<std::string>& found) {
        if (!found) return LeaveStopped();
        if (!found->empty()) return CompareWith(*found, step);
        const ActionScene then = window_.scene();
        then.say("There is no earlier case of " + then.scene.view.record.operator_code + " with " +
                     then.scene.steps.NameOf(step) + " and a recording in the folder of this one",
                 false);
      });
}

void CompareScreen::CompareGrid(const std::string& step) {
  jobs_.Start(
      "Opening the cases",
      [folder = window_.scene().scene.view.folder, step](const Progress& progress, const StopQuery& stop) {
        return UnlessStopped(CasesWithStep(folder, step, kMostPanes - 1, progress, stop), stop);
      },
      [this, step](std::optional<std::vector<ComparedCase>> found) {
        if (!found) return LeaveStopped();
        if (!found->empty()) return Show(std::move(*found), step);
        const ActionScene on = window_.scene();
        on.say("No other case with " + on.scene.steps.NameOf(step) + " lies in the folder of this one",
               false);
      });
}

void CompareScreen::Show(std::vector<ComparedCase> others, const std::string& step) {
  const ActionScene on = window_.scene();
  others.insert(others.begin(), ThisCase());
  on.player.Pause(on.scene.now);
  desk_.Open(std::move(others), step, window_.painter, on.scene.now);
  window_.shown();
}

}  // namespace afterscope
