// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sound/sound_mixer.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr float kFadePerFrame = 1.0F / 240;  // silence to full in 5 ms
constexpr float kUnderAlone = 0.2F;          // the case's sound while another one plays

float Towards(float from, float to) { return from + std::clamp(to - from, -kFadePerFrame, kFadePerFrame); }

}  // namespace

void SoundMixer::SetClock(const ClockReading& clock) {
  const std::lock_guard lock(mutex_);
  clock_ = clock;
}

void SoundMixer::SetVolume(float share) {
  const std::lock_guard lock(mutex_);
  volume_ = std::clamp(share, 0.0F, 1.0F);
}

std::int64_t SoundMixer::Begin(std::int64_t from_sample, double speed) {
  const std::lock_guard lock(mutex_);
  ring_.Clear();
  run_ = ++last_run_;
  from_sample_ = from_sample;
  speed_ = speed;
  begun_ = false;
  played_ = 0;
  handed_.reset();
  level_ = 0;
  return *run_;
}

void SoundMixer::End() {
  const std::lock_guard lock(mutex_);
  run_.reset();
  ring_.Clear();
  handed_.reset();
}

std::size_t SoundMixer::Room(std::int64_t run) const {
  const std::lock_guard lock(mutex_);
  return run_ == run ? ring_.room() : 0;
}

void SoundMixer::Put(std::int64_t run, std::span<const float> frames) {
  const std::lock_guard lock(mutex_);
  if (run_ == run) ring_.Put(frames);
}

void SoundMixer::PlayAlone(std::vector<float> samples) {
  const std::lock_guard lock(mutex_);
  alone_ = std::move(samples);
  alone_at_ = 0;
}

bool SoundMixer::PlaysAlone() const {
  const std::lock_guard lock(mutex_);
  return alone_at_ < alone_.size();
}

double SoundMixer::SecondsOfFrame(double frame) const {
  return (static_cast<double>(from_sample_) + frame * speed_) / kSoundRate;
}

// Where the output asks for nothing any more, what is heard ends with what it got.
std::optional<double> SoundMixer::HeardAt(double time) const {
  const std::lock_guard lock(mutex_);
  if (!handed_) return std::nullopt;
  const double since = (time - handed_->heard_at) * kSoundRate;
  return SecondsOfFrame(static_cast<double>(handed_->first) +
                        std::min(since, static_cast<double>(handed_->count)));
}

void SoundMixer::Fill(std::span<float> out, double heard_at) {
  std::fill(out.begin(), out.end(), 0.0F);
  const std::lock_guard lock(mutex_);
  if (run_) AddRun(out, heard_at);
  AddAlone(out);
}

// How many frames of silence come before the run's next one; where the clock is past it, so much of the run
// is dropped.
std::size_t SoundMixer::FramesToWait(double heard_at, std::size_t frames) {
  if (begun_) return 0;
  const double ahead = (clock_.SecondsAt(heard_at) - SecondsOfFrame(static_cast<double>(played_))) / speed_;
  const auto late = static_cast<std::int64_t>(std::llround(ahead * kSoundRate));
  if (late < 0)
    return static_cast<std::size_t>(std::min<std::int64_t>(-late, static_cast<std::int64_t>(frames)));
  const std::size_t dropped = ring_.Drop(static_cast<std::size_t>(late));
  played_ += static_cast<std::int64_t>(dropped);
  return static_cast<std::int64_t>(dropped) < late ? frames : 0;
}

void SoundMixer::AddRun(std::span<float> out, double heard_at) {
  if (!clock_.goes && level_ == 0) return;
  const std::size_t frames = out.size() / kSoundChannels;
  const std::size_t wait = clock_.goes || begun_ ? FramesToWait(heard_at, frames) : frames;
  const std::span<float> part = out.subspan(wait * kSoundChannels);
  const std::size_t taken = ring_.Take(part);
  if (taken > 0) {
    begun_ = true;
    handed_ =
        Handed{heard_at + static_cast<double>(wait) / kSoundRate, played_, static_cast<std::int64_t>(taken)};
    played_ += static_cast<std::int64_t>(taken);
  }
  const float wanted = clock_.goes ? volume_ * (alone_at_ < alone_.size() ? kUnderAlone : 1) : 0;
  for (std::size_t i = 0; i < taken; ++i) {
    level_ = Towards(level_, wanted);
    for (std::size_t c = 0; c < kSoundChannels; ++c) part[i * kSoundChannels + c] *= level_;
  }
  if (taken == 0) level_ = 0;
}

void SoundMixer::AddAlone(std::span<float> out) {
  const std::size_t count = std::min(out.size(), alone_.size() - std::min(alone_at_, alone_.size()));
  for (std::size_t i = 0; i < count; ++i) out[i] = std::clamp(out[i] + alone_[alone_at_ + i], -1.0F, 1.0F);
  alone_at_ += count;
}

}  // namespace afterscope
