// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/compare/compare_desk.hpp"

#include "app/desktop/desk/new_case.hpp"
#include "app/desktop/player/cache_shares.hpp"

#include <algorithm>

namespace afterscope {
namespace {

// Nothing of it is seen yet, and something will be.
bool IsStillOpening(const ComparePane& pane) {
  if (!pane.reel.AllSettled()) return true;
  return pane.player.shown().empty() && pane.player.problem().empty() &&
         pane.reel.At(pane.player.playhead().recording) != nullptr;
}

}  // namespace

ComparePane::ComparePane(ComparedCase compared, JobRunner& jobs, std::int64_t cache_bytes,
                         std::function<void()> wake, PicturePainter own_painter)
    : data(std::move(compared)),
      reel(jobs, cache_bytes, false),
      player(reel, std::move(wake)),
      painter(std::move(own_painter)),
      visit(data.visit) {
  std::vector<Reel::Source> sources;
  for (const RecordingRef& ref : data.record.recordings)
    sources.push_back({ref.path, [folder = data.folder, ref] { return LocateRecording(folder, ref); }});
  reel.Open(sources);
}

void CompareDesk::Open(std::vector<ComparedCase> cases, const std::string& step,
                       const PicturePainter& painter, double now) {
  Close();
  const auto share =
      BudgetFor(true).compared_bytes / static_cast<std::int64_t>(std::max<std::size_t>(1, cases.size()));
  for (ComparedCase& each : cases)
    panes_.push_back(std::make_unique<ComparePane>(std::move(each), jobs_, share, wake_, painter.Another()));
  step_ = step;
  for (const auto& pane : panes_) Align(*pane);
  Restart(now);
  common_.SetSpeed(1, now);
  common_.Play(now);
}

void CompareDesk::Close() {
  panes_.clear();
  chosen_ = 0;
}

void CompareDesk::Align(ComparePane& pane) {
  pane.clock = CaseClock(pane.reel.Known(pane.data.record.recordings));
  pane.stretch = StretchOf(pane.data.review, pane.clock, step_, pane.visit).value_or(ComparedStretch{});
}

std::vector<ComparedStretch> CompareDesk::Stretches() const {
  std::vector<ComparedStretch> stretches;
  for (const auto& pane : panes_) stretches.push_back(pane->stretch);
  return stretches;
}

double CompareDesk::Length() const { return CommonLength(Stretches(), matching_); }

double CompareDesk::RunOf(const ComparePane& pane, double now) const {
  return PlaceAt(panes_.front()->stretch, pane.stretch, matching_, At(now)) - pane.stretch.start_s;
}

std::vector<const ComparedCase*> CompareDesk::Cases() const {
  std::vector<const ComparedCase*> cases;
  for (const auto& pane : panes_) cases.push_back(&pane->data);
  return cases;
}

void CompareDesk::Update(double now) {
  if (!open()) return;
  bool waits = false;
  for (const auto& pane : panes_) {
    Align(*pane);
    waits = waits || pane->player.waiting() || IsStillOpening(*pane);
  }
  common_.SetTotal(Length(), now);
  common_.Hold(waits, now);
  for (const auto& pane : panes_) {
    const double run = RunOf(*pane, now);
    pane->player.Drive(pane->stretch.start_s + run, common_.playing() && run < pane->stretch.length_s, now);
    pane->player.Update(pane->clock, now);
  }
  if (common_.playing() && common_.AtEnd(now) && Length() > 0) common_.Pause(now);
}

bool CompareDesk::Restless() const {
  return open() &&
         (common_.playing() || std::any_of(panes_.begin(), panes_.end(), [](const auto& pane) {
            return !pane->player.exact() && pane->player.problem().empty() &&
                   !(pane->reel.AllSettled() && pane->reel.At(pane->player.playhead().recording) == nullptr);
          }));
}

void CompareDesk::TogglePlay(double now) { common_.playing() ? common_.Pause(now) : common_.Play(now); }

void CompareDesk::Restart(double now) { common_.Jump(0, now); }

void CompareDesk::StepBy(std::int64_t frames, double now) {
  constexpr double kUsualFrame = 0.04;
  if (!open()) return;
  common_.Pause(now);
  const ComparePane& first = *panes_.front();
  const FrameRef from = first.player.playhead();
  const double by =
      first.clock.Seconds(StepFrames(first.reel.tables(), from, frames)) - first.clock.Seconds(from);
  common_.Jump(
      std::clamp(At(now) + (by != 0 ? by : kUsualFrame * static_cast<double>(frames)), 0.0, Length()), now);
}

void CompareDesk::ToggleMatched(double now) {
  // What the first pane shows stays.
  const double at = At(now);
  matching_ = matching_ == ComparedSpeed::kOwn ? ComparedSpeed::kMatched : ComparedSpeed::kOwn;
  common_.SetTotal(Length(), now);
  common_.Jump(std::min(at, Length()), now);
}

bool CompareDesk::ChangeStep(int direction, double now) {
  std::vector<const Review*> reviews;
  for (const auto& pane : panes_) reviews.push_back(&pane->data.review);
  const auto steps = CommonSteps(reviews);
  const auto here = std::find(steps.begin(), steps.end(), step_);
  if (here == steps.end() || (direction < 0 ? here == steps.begin() : here + 1 == steps.end())) return false;
  step_ = *(here + direction);
  for (const auto& pane : panes_) {
    pane->visit = pane->data.visit;
    Align(*pane);
  }
  Restart(now);
  return true;
}

bool CompareDesk::NextVisit(std::size_t pane, double now) {
  if (pane >= panes_.size()) return false;
  const std::size_t visits = VisitsOf(panes_[pane]->data.review, panes_[pane]->clock, step_).size();
  if (visits < 2) return false;
  panes_[pane]->visit = (panes_[pane]->visit + 1) % visits;
  Align(*panes_[pane]);
  Restart(now);
  return true;
}

void CompareDesk::ChoosePane(int direction) {
  if (panes_.empty()) return;
  const std::size_t by = direction > 0 ? 1 : panes_.size() - 1;
  chosen_ = (chosen_ + by) % panes_.size();
}

bool CompareDesk::AnyHasVisits() const {
  return std::any_of(panes_.begin(), panes_.end(), [&](const auto& pane) {
    return VisitsOf(pane->data.review, pane->clock, step_).size() > 1;
  });
}

}  // namespace afterscope
