// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/visits.hpp"
#include "annotate/jobs/earlier_cases.hpp"
#include "app/desktop/app.hpp"
#include "app/desktop/compare/compare_panel.hpp"
#include "app/desktop/key_list.hpp"
#include "app/desktop/look/part.hpp"

#include <cmath>
#include <filesystem>

namespace afterscope {
namespace {

constexpr std::size_t kMostPanes = 9;

std::string FolderAround(const std::string& folder) {
  return std::filesystem::path(folder).parent_path().string();
}

}  // namespace

bool App::DoCompare(const std::string& action) {
  if (compare_.open()) {
    if (!DoCompared(action)) DoLook(action);
    return true;
  }
  if (chooser_.open && DoChooser(action)) return true;
  const bool compares = action == "compare" || action == "earlier case" || action == "compare many";
  if (compares && (view_->hidden || IsBlindedFolder(view_->folder))) {
    Say("Nothing is compared while cases are reviewed blinded: beside others it would show whose case it is.",
        true);
    return true;
  }
  if (action == "compare")
    OpenChooser();
  else if (action == "earlier case")
    CompareEarlier();
  else if (action == "compare many")
    CompareGrid();
  else
    return false;
  return true;
}

// While cases are compared, keys speak of all of them.
bool App::DoCompared(const std::string& action) {
  if (action == "leave" || action == "compare")
    compare_.Close();
  else if (action == "play")
    compare_.TogglePlay(now_);
  else if (action == "next frame" || action == "ten frames on")
    compare_.StepBy(action == "next frame" ? 1 : 10, now_);
  else if (action == "previous frame" || action == "ten frames back")
    compare_.StepBy(action == "previous frame" ? -1 : -10, now_);
  else if (action == "first frame")
    compare_.Restart(now_);
  else if (action == "faster")
    compare_.Faster(now_);
  else if (action == "slower")
    compare_.Slower(now_);
  else if (action == "matched speed")
    compare_.ToggleMatched(now_);
  else if (action == "next boundary" || action == "previous boundary") {
    if (!compare_.ChangeStep(action == "next boundary" ? 1 : -1, now_))
      Say("There is no further step that all of these cases have", false);
  } else {
    return false;
  }
  return true;
}

bool App::DoChooser(const std::string& action) {
  if (action == "faster" || action == "slower")
    chooser_.MoveCursor(action == "faster" ? -1 : 1);
  else if (action == "leave" || action == "compare")
    chooser_.open = false;
  else if (action == "remark" && chooser_.cursor < chooser_.cases.size())
    CompareWith(chooser_.cases[chooser_.cursor].folder);
  else
    return false;
  return true;
}

// The step that runs at the playhead, else the one that was tagged last before it, else the first.
std::string App::StepToCompare() const {
  if (const StepVisit* running = RunningVisit(view_->review, player_.playhead())) return running->step;
  std::string step;
  for (const StepVisit& visit : view_->review.visits)
    if (visit.lane == 0 && (step.empty() || !(player_.playhead() < visit.start))) step = visit.step;
  return step;
}

ComparedCase App::ThisCase() const {
  return {view_->folder, view_->record, view_->review, steps_, sheet_.findings.findings, 0};
}

void App::OpenChooser() {
  const std::string step = StepToCompare();
  if (view_->folder.empty() || step.empty()) return Say("Comparing needs a step; tag one first.", false);
  const std::string folder = view_->folder;
  chooser_ = {true, true, steps_.NameOf(step), {}, 0, {}};
  jobs_.Start(
      "Looking for cases",
      [around = FolderAround(folder)](const Progress&, const StopQuery& stop) {
        return FindCases(around, stop);
      },
      [this, alive = alive_, generation = generation_, folder, step](const std::vector<ShelfCase>& found) {
        if (!*alive || generation != generation_ || !chooser_.open) return;
        chooser_.Offer(found, folder, VisitsOf(view_->review, step).size() > 1, settings_.reviewer_code);
      });
}

void App::CompareWith(const std::string& folder) {
  const std::string step = StepToCompare();
  chooser_.open = false;
  if (folder == view_->folder) {
    ComparedCase again = ThisCase();
    again.visit = 1;
    return OpenCompare({std::move(again)}, step);
  }
  jobs_.Start(
      "Opening the case", [folder](const Progress&, const StopQuery&) { return LoadComparedCase(folder); },
      [this, alive = alive_, generation = generation_, step](Result<ComparedCase> loaded) {
        if (!*alive || generation != generation_) return;
        if (!loaded) return Say(loaded.error().message, true);
        if (VisitsOf(loaded->review, step).empty())
          return Say(steps_.NameOf(step) + " was not tagged in " + CaseWords(loaded->record), true);
        OpenCompare({std::move(loaded).value()}, step);
      });
}

void App::CompareEarlier() {
  const std::string step = StepToCompare();
  if (view_->folder.empty() || step.empty()) return Say("Comparing needs a step; tag one first.", false);
  if (view_->record.operator_code.empty() || view_->record.date.empty())
    return Say("An earlier case is found by operator and date: fill them in among the fields of the case.",
               true);
  jobs_.Start(
      "Looking for the earlier case",
      [record = view_->record, around = FolderAround(view_->folder), step](const Progress&,
                                                                           const StopQuery& stop) {
        return EarlierCaseWithStep(record, {around}, step, stop);
      },
      [this, alive = alive_, generation = generation_, step](const std::string& found) {
        if (!*alive || generation != generation_) return;
        if (found.empty())
          return Say("There is no earlier case of " + view_->record.operator_code + " with " +
                         steps_.NameOf(step) + " and a recording in the folder of this one",
                     false);
        CompareWith(found);
      });
}

void App::CompareGrid() {
  const std::string step = StepToCompare();
  if (view_->folder.empty() || step.empty()) return Say("Comparing needs a step; tag one first.", false);
  jobs_.Start(
      "Opening the cases",
      [folder = view_->folder, step](const Progress&, const StopQuery& stop) {
        return CasesWithStep(folder, step, kMostPanes - 1, stop);
      },
      [this, alive = alive_, generation = generation_, step](std::vector<ComparedCase> found) {
        if (!*alive || generation != generation_) return;
        if (found.empty())
          return Say("No other case with " + steps_.NameOf(step) + " lies in the folder of this one", false);
        OpenCompare(std::move(found), step);
      });
}

void App::OpenCompare(std::vector<ComparedCase> others, const std::string& step) {
  others.insert(others.begin(), ThisCase());
  player_.Pause(now_);
  keys_shown_ = false;
  compare_.Open(std::move(others), step, painter_, now_);
}

void App::DrawCompareScreen(const Scene& scene, float width, float height) {
  const float bottom = height - std::round(look_.Px(kBottomLineHeight));
  BeginPart("compare", {0, 0, width, height}, true, false);
  DrawCompare(compare_, scene, sheet_.findings.labels, picture_.look.Shown(), {0, 0, width, bottom});
  DrawBottomLine(scene, CompareHints(compare_, scene), said_, jobs_.Shown(), {0, bottom, width, height});
  ImGui::End();
  if (keys_shown_) DrawKeyList(scene, {0, 0, width, bottom});
}

}  // namespace afterscope
