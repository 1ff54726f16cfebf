// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sound/speaking.hpp"

#include "annotate/jobs/spoken_remark.hpp"
#include "annotate/media/sound_envelope.hpp"
#include "annotate/media/sound_format.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kLeastSeconds = 0.3;
constexpr float kHeard = 1e-3F;  // -60 dB of full scale
constexpr int kBars = 8;

std::string LevelBars(float level) {
  const int full = static_cast<int>(std::lround(DrawnHeight(level) * kBars));
  std::string bars;
  for (int i = 0; i < kBars; ++i) bars += i < full ? "|" : "·";
  return bars;
}

Error Bad(const char* sentence) { return {ErrorCode::kBadCall, sentence}; }

}  // namespace

Speaking::Speaking(JobRunner& jobs, Opener opener) : jobs_(jobs), opener_(std::move(opener)) {}

void Speaking::Begin(FrameRef at) {
  if (active_) return;
  active_ = true;
  at_ = at;
  problem_.clear();
  jobs_.Start(
      "", [open = opener_](const Progress&, const StopQuery&) { return open(); },
      [this, alive = alive_, turn = ++turn_](Result<std::unique_ptr<Microphone>> opened) {
        if (!*alive || turn != turn_ || !active_) return;
        if (opened.ok())
          microphone_ = std::move(opened).value();
        else
          problem_ = opened.error().message;
      });
}

std::string Speaking::Words() const {
  if (!microphone_) return "Opening the microphone …";
  return fmt::format("Speaking  {:.1f} s  {}", microphone_->Seconds(), LevelBars(microphone_->Level()));
}

bool Speaking::MustEnd() const {
  return active_ && (!problem_.empty() || (microphone_ && microphone_->Seconds() >= kMostSpokenSeconds));
}

Result<Speaking::Spoken> Speaking::End() {
  active_ = false;
  ++turn_;
  const std::unique_ptr<Microphone> microphone = std::move(microphone_);
  if (!problem_.empty()) return Error{ErrorCode::kUnreadable, problem_};
  if (!microphone || microphone->Seconds() < kLeastSeconds) return Bad("Nothing was kept: it ended at once.");
  Spoken spoken{at_, microphone->Take(), false};
  spoken.heard =
      std::any_of(spoken.mono.begin(), spoken.mono.end(), [](float s) { return std::abs(s) > kHeard; });
  return spoken;
}

}  // namespace afterscope
