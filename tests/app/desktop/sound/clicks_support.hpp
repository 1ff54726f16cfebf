// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/player/player_clock.hpp"
#include "app/desktop/sound/sound_player.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <iterator>
#include <map>
#include <memory>
#include <mutex>
#include <thread>
#include <vector>

namespace afterscope {

// The clock of NotingOutput runs so much faster than the one of this machine.
inline constexpr double kFastBy = 1.003;

// An output that is none: notes when clicks are heard.
class NotingOutput final : public SoundOutput {
 public:
  NotingOutput(Fill fill, std::vector<double>& clicks, std::mutex& mutex)
      : thread_([this, fill = std::move(fill), &clicks, &mutex] { Play(fill, clicks, mutex); }) {}
  ~NotingOutput() override {
    closing_ = true;
    thread_.join();
  }
  bool lost() const override { return false; }

 private:
  void Play(const Fill& fill, std::vector<double>& clicks, std::mutex& mutex) {
    constexpr std::size_t kFrames = 512;
    constexpr double kLatency = 0.02;
    std::vector<float> out(kFrames * kSoundChannels);
    double next = SteadySeconds();
    double quiet = 1;
    while (!closing_) {
      fill(out, next + kLatency);
      const std::lock_guard lock(mutex);
      for (std::size_t i = 0; i < kFrames; ++i) {
        quiet += 1.0 / kSoundRate;
        if (std::abs(out[2 * i]) < 0.15F) continue;
        if (quiet > 0.1) clicks.push_back(next + kLatency + static_cast<double>(i) / kSoundRate / kFastBy);
        quiet = 0;
      }
      next += kFrames / (kSoundRate * kFastBy);
      std::this_thread::sleep_for(std::chrono::duration<double>(std::max(0.0, next - SteadySeconds())));
    }
  }

  std::atomic<bool> closing_{false};
  std::thread thread_;
};

// Sound alone, with a click of 10 ms every half second.
class ClickRecording final : public Recording {
 public:
  explicit ClickRecording(int seconds = 30) : seconds_(seconds) {
    info_.sound = SoundInfo{"clicks", kSoundRate, kSoundChannels};
  }
  const RecordingInfo& info() const override { return info_; }
  RecordingShape Shape() const override {
    return {{1, 1000}, {0}, {1000LL * seconds_}, 64, 48, {1, 1}, 0, true};
  }
  Result<SoundBlock> Sound(std::int64_t first, std::int64_t count, const StopQuery&) override {
    SoundBlock block{first, {}};
    for (std::int64_t i = first; i < first + count; ++i) {
      const bool clicks = i % (kSoundRate / 2) < kSoundRate / 100;
      const double value = clicks ? 0.8 * std::cos(2 * M_PI * 1000 * static_cast<double>(i) / kSoundRate) : 0;
      block.samples.insert(block.samples.end(), kSoundChannels, static_cast<float>(value));
    }
    return block;
  }
  std::shared_ptr<const FrameTable> table() const override { return nullptr; }
  Result<std::shared_ptr<const FrameTable>> WaitForTable(TableState, const Progress&,
                                                         const StopQuery&) override {
    return NoPicture();
  }
  Result<Picture> Frame(Pts, const StopQuery&) override { return NoPicture(); }
  Result<Picture> Frame(FrameIndex, const StopQuery&) override { return NoPicture(); }
  std::optional<Picture> Cached(Pts) const override { return std::nullopt; }
  std::optional<Picture> NearestCached(Pts) const override { return std::nullopt; }
  void Request(Pts, Priority, Ready) override {}
  void SetPlayhead(Pts, int) override {}
  void SetCacheBytes(std::int64_t) override {}
  Status Sweep(Pts, const std::function<bool(const Picture&)>&, const StopQuery&) override {
    return NoPicture();
  }
  Result<std::string> FrameHash(FrameIndex, const StopQuery&) override { return NoPicture(); }
  Result<std::string> FrameHash(Pts, const StopQuery&) override { return NoPicture(); }
  std::vector<int> HelperPids() const override { return {}; }

 private:
  static Error NoPicture() { return {ErrorCode::kUnreadable, "There is no picture."}; }
  RecordingInfo info_;
  int seconds_;
};

inline CaseClock ClockOf(const std::vector<std::shared_ptr<Recording>>& recordings) {
  std::vector<RecordingRef> refs;
  for (const auto& recording : recordings) refs.push_back({"", {}, recording->Shape()});
  return CaseClock(refs);
}

// The window's part: 60 times a second.
struct Desk {
  SoundPlayer& sound;
  PlayerClock clock;
  std::map<double, double> stood;  // time, second of the case

  void Run(double seconds) {
    const double end = SteadySeconds() + seconds;
    while (SteadySeconds() < end) {
      const double now = SteadySeconds();
      if (const auto steered = sound.Follow({clock.At(now), clock.speed(), clock.playing(), false}))
        clock.Correct(*steered, now);
      stood[now] = clock.At(now);
      std::this_thread::sleep_for(std::chrono::milliseconds(16));
    }
  }
  double At(double time) const {
    const auto after = stood.lower_bound(time);
    if (after == stood.end() || after == stood.begin()) return -1;
    const auto before = std::prev(after);
    const double share = (time - before->first) / (after->first - before->first);
    return before->second + share * (after->second - before->second);
  }
};

// A desk that plays such a recording of so many seconds.
inline Desk DeskWithClicks(SoundPlayer& sound, int seconds = 30) {
  const std::vector<std::shared_ptr<Recording>> recordings{std::make_shared<ClickRecording>(seconds)};
  const CaseClock case_clock = ClockOf(recordings);
  sound.SetCase(recordings, case_clock);
  Desk desk{sound, {}, {}};
  desk.clock.SetTotal(case_clock.TotalSeconds(), SteadySeconds());
  return desk;
}

// Opens an output that notes what is heard, for SoundPlayer.
inline auto NotedIn(std::vector<double>& clicks, std::mutex& mutex) {
  return [&](SoundOutput::Fill fill) -> Result<std::unique_ptr<SoundOutput>> {
    return std::unique_ptr<SoundOutput>(std::make_unique<NotingOutput>(std::move(fill), clicks, mutex));
  };
}

}  // namespace afterscope
