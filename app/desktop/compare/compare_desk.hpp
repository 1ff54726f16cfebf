// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_runner.hpp"
#include "app/desktop/compare/alignment.hpp"
#include "app/desktop/compare/compared_case.hpp"
#include "app/desktop/gl/painted_later.hpp"
#include "app/desktop/player/player.hpp"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace afterscope {

// One case among those that are played together.
struct ComparePane {
  ComparePane(ComparedCase compared, JobRunner& jobs, std::int64_t cache_bytes, std::function<void()> wake,
              PicturePainter own_painter);

  ComparedCase data;
  Reel reel;
  Player player;
  PicturePainter painter;
  CaseClock clock;
  std::size_t visit = 0;
  ComparedStretch stretch;
  PaintedLater order;  // for the painting of this frame
};

// The same step of several cases, aligned at its start and played together by one clock. Each case has its
// own decoder. One thread, with the GL context current.
class CompareDesk {
 public:
  CompareDesk(JobRunner& jobs, std::function<void()> wake) : jobs_(jobs), wake_(std::move(wake)) {}

  bool open() const { return !panes_.empty(); }
  // Two cases or more that have the step; `painter` is whose shaders are used. Starts to play.
  void Open(std::vector<ComparedCase> cases, const std::string& step, const PicturePainter& painter,
            double now);
  void Close();
  void Update(double now);
  // Something moves by itself, or a picture is still to come.
  bool Restless() const;

  void TogglePlay(double now);
  void Restart(double now);
  void StepBy(std::int64_t frames, double now);  // frames of the first pane
  void Faster(double now) { common_.Faster(now); }
  void Slower(double now) { common_.Slower(now); }
  void ToggleMatched(double now);
  // The next (1) or last (-1) step that all cases have; false where there is none.
  bool ChangeStep(int direction, double now);
  // Another visit of the step in that pane; false where it has only one.
  bool NextVisit(std::size_t pane, double now);
  // The pane that keys speak of; the next (1) or last (-1) one, round.
  std::size_t chosen() const { return chosen_; }
  void ChoosePane(int direction);
  bool AnyHasVisits() const;  // more than one

  const std::vector<std::unique_ptr<ComparePane>>& panes() const { return panes_; }
  const std::string& step() const { return step_; }
  ComparedSpeed matching() const { return matching_; }
  bool playing() const { return common_.playing(); }
  double speed() const { return common_.speed(); }
  double Length() const;
  double At(double now) const { return common_.At(now); }
  // How long the pane's own stretch has run, and whether it is over.
  double RunOf(const ComparePane& pane, double now) const;
  std::vector<const ComparedCase*> Cases() const;

 private:
  void Align(ComparePane& pane);
  std::vector<ComparedStretch> Stretches() const;

  JobRunner& jobs_;
  std::function<void()> wake_;
  std::vector<std::unique_ptr<ComparePane>> panes_;
  std::size_t chosen_ = 0;
  std::string step_;
  ComparedSpeed matching_ = ComparedSpeed::kOwn;
  PlayerClock common_;  // 0: the start of the step in every pane
};

}  // namespace afterscope
