// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/finding.hpp"
#include "app/common/job_scope.hpp"
#include "app/desktop/action_scene.hpp"
#include "app/desktop/compare/compare_chooser.hpp"
#include "app/desktop/compare/compare_desk.hpp"
#include "app/desktop/desk/view_settings.hpp"
#include "app/desktop/gl/picture_painter.hpp"

#include <functional>
#include <string>
#include <vector>

namespace afterscope {

// Looking at a step of the open case beside that of others: which ones, and what the keys do while they play.
// One thread, with the GL context current.
class CompareScreen {
 public:
  // What it needs of the window; references outlive it.
  struct Window {
    const ViewSettings& settings;
    const PicturePainter& painter;
    const std::vector<Finding>& findings;  // of the open case
    std::function<ActionScene()> scene;    // as it is when it is asked for
    std::function<bool()> blinded;         // the cases of this folder are reviewed blinded
    std::function<void()> shown;           // the cases have come up
    std::function<void()> wake;            // from any thread: draw again
  };
  CompareScreen(JobRunner& jobs, Window window)
      : jobs_(jobs), window_(std::move(window)), desk_(jobs, window_.wake) {}

  bool open() const { return desk_.open(); }
  bool choosing() const { return chooser_.open; }
  CompareDesk& desk() { return desk_; }
  const CompareDesk& desk() const { return desk_; }
  CompareChooser& chooser() { return chooser_; }
  void Forget();  // another case

  // An action of the key map. False: not one of these.
  bool Do(const std::string& action);
  // After all was drawn: opens what was pressed in the list of cases.
  void OpenChosen();

 private:
  bool DoCompared(const std::string& action);
  bool DoChooser(const std::string& action);
  void OpenChooser(const std::string& step);
  void CompareWith(const std::string& folder, const std::string& step);
  void CompareEarlier(const std::string& step);
  void CompareGrid(const std::string& step);
  void LeaveStopped();
  std::string StepHere() const;
  ComparedCase ThisCase() const;
  void Show(std::vector<ComparedCase> others, const std::string& step);

  JobScope jobs_;
  Window window_;
  CompareDesk desk_;
  CompareChooser chooser_;
};

}  // namespace afterscope
