// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sound/sound_player.hpp"

#include "annotate/media/case_sound.hpp"
#include "annotate/media/sound_tempo.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr double kLead = 0.12;       // a run that begins while it plays begins so much later, to be ready
constexpr double kMostDrift = 0.08;  // farther apart, the clock has jumped: another run
constexpr double kCatchUp = 0.16;    // seconds in which the clock makes up for two thirds of the drift
constexpr double kMostAtOnce = 0.5;  // share of it that it makes up for between two frames
constexpr double kSettled = 0.15;    // at rest for so long: the run for going on is made ready
constexpr double kSameSeconds = 1e-6;
constexpr double kBlockSeconds = 0.1;                           // of what is heard, read at once
constexpr std::int64_t kSilentAfterFailure = 5LL * kSoundRate;  // samples of the case
constexpr auto kLookAgain = std::chrono::milliseconds(30);
constexpr auto kLookAgainIdle = std::chrono::milliseconds(500);

}  // namespace

// Reads one run block by block, on the thread.
class SoundPlayer::Reader {
 public:
  // The next block of a run, as it is heard; empty: nothing comes any more.
  std::vector<float> Next(const Wanted& wanted, std::string& problem) {
    if (wanted.generation != generation_ && !Begin(wanted)) return {};
    if (!tempo_) return {};
    const auto count = static_cast<std::int64_t>(kBlockSeconds * kSoundRate * wanted.speed);
    CaseSound sound;
    if (at_ >= silent_until_)
      sound = SoundOfCase(wanted.recordings, wanted.clock, at_, count, {});
    else
      sound.samples.resize(static_cast<std::size_t>(count) * kSoundChannels);
    at_ += count;
    problem = std::move(sound.problem);
    if (!problem.empty()) silent_until_ = at_ + kSilentAfterFailure;
    return tempo_->Push(sound.samples);
  }

 private:
  bool Begin(const Wanted& wanted) {
    generation_ = wanted.generation;
    at_ = wanted.from_sample;
    silent_until_ = INT64_MIN;
    auto tempo = SoundTempo::Make(wanted.speed);
    tempo_ = tempo.ok() ? std::move(*tempo) : nullptr;
    return tempo_ != nullptr;
  }

  std::int64_t generation_ = -1;
  std::int64_t at_ = 0;
  std::int64_t silent_until_ = INT64_MIN;
  std::unique_ptr<SoundTempo> tempo_;
};

SoundPlayer::SoundPlayer(std::function<void()> wake, SoundOutput::Opener opener)
    : wake_(std::move(wake)), opener_(std::move(opener)), thread_([this] { Work(); }) {}

SoundPlayer::~SoundPlayer() {
  {
    const std::lock_guard lock(mutex_);
    closing_ = true;
  }
  changed_.notify_all();
  thread_.join();
}

bool SoundPlayer::Audible(double speed) {
  return speed >= SoundTempo::kSlowest && speed <= SoundTempo::kFastest;
}

bool SoundPlayer::HasSound() const {
  return std::any_of(recordings_.begin(), recordings_.end(),
                     [](const auto& recording) { return recording && recording->info().sound; });
}

void SoundPlayer::SetCase(std::vector<std::shared_ptr<Recording>> recordings, const CaseClock& clock) {
  const bool same = recordings == recordings_ && clock.Starts() == clock_.Starts();
  if (same && clock.TotalSeconds() == clock_.TotalSeconds()) return;
  recordings_ = std::move(recordings);
  clock_ = clock;
  if (!same) Stop();
  const std::lock_guard lock(mutex_);
  wanted_.recordings = recordings_;
  wanted_.clock = clock_;
  if (!same) told_.clear();
}

void SoundPlayer::Begin(double from_seconds, double speed) {
  const std::int64_t sample = std::llround(from_seconds * kSoundRate);
  run_from_ = from_seconds;
  run_speed_ = speed;
  {
    const std::lock_guard lock(mutex_);
    wanted_.clock = clock_;
    wanted_.output = true;
    wanted_.run = mixer_.Begin(sample, speed);
    wanted_.from_sample = sample;
    wanted_.speed = speed;
    ++wanted_.generation;
  }
  changed_.notify_all();
}

void SoundPlayer::Stop() {
  run_from_.reset();
  drift_.reset();
  mixer_.End();
  const std::lock_guard lock(mutex_);
  wanted_.run.reset();
  ++wanted_.generation;
}

std::optional<double> SoundPlayer::Follow(const Playing& playing) {
  const double now = SteadySeconds();
  drift_.reset();
  if (!HasSound() || !Audible(playing.speed)) {
    if (run_from_) Stop();
    return std::nullopt;
  }
  if (run_from_ && run_speed_ != playing.speed) Stop();
  mixer_.SetClock({playing.seconds, now, playing.speed, playing.plays && !playing.waits});
  if (playing.plays) {
    rests_at_ = -1;
    prepared_ = false;
    return playing.waits ? std::nullopt : Steered(playing, now);
  }
  Prepare(playing, now);
  return std::nullopt;
}

std::optional<double> SoundPlayer::Steered(const Playing& playing, double now) {
  const double lead = kLead * playing.speed;
  const auto heard = mixer_.HeardAt(now);
  if (!heard) {
    // The run waits for the clock to get there, or for its first samples.
    const bool comes =
        run_from_ && *run_from_ <= playing.seconds + lead + kMostDrift && *run_from_ >= playing.seconds - 1;
    if (!comes) Begin(playing.seconds + lead, playing.speed);
    return std::nullopt;
  }
  const double drift = *heard - playing.seconds;
  if (std::abs(drift) > kMostDrift * std::max(1.0, playing.speed)) {
    Begin(playing.seconds + lead, playing.speed);
    return std::nullopt;
  }
  drift_ = drift;
  const double since = now - std::exchange(steered_at_, now);
  return playing.seconds + std::min(kMostAtOnce, 1 - std::exp(-since / kCatchUp)) * drift;
}

// At rest: once the place is settled, the run from there on is read ahead, so that sound begins with the
// picture.
void SoundPlayer::Prepare(const Playing& playing, double now) {
  if (std::abs(playing.seconds - rests_at_) > kSameSeconds) {
    rests_at_ = playing.seconds;
    rests_since_ = now;
    prepared_ = false;
  } else if (!prepared_ && now - rests_since_ >= kSettled) {
    Begin(playing.seconds, playing.speed);
    prepared_ = true;
  }
}

void SoundPlayer::WantOutput() {
  {
    const std::lock_guard lock(mutex_);
    wanted_.output = true;
  }
  changed_.notify_all();
}

void SoundPlayer::PlayAlone(std::vector<float> samples) {
  mixer_.PlayAlone(std::move(samples));
  WantOutput();
}

std::string SoundPlayer::TakeProblem() {
  const std::lock_guard lock(mutex_);
  return std::exchange(problem_, {});
}

void SoundPlayer::Tell(const std::string& problem) {
  if (problem.empty()) return;
  {
    const std::lock_guard lock(mutex_);
    if (std::find(told_.begin(), told_.end(), problem) != told_.end()) return;
    told_.push_back(problem);
    problem_ = problem;
  }
  if (wake_) wake_();
}

void SoundPlayer::OpenOutput() {
  output_tried_ = true;
  auto output = opener_([this](std::span<float> out, double heard_at) { mixer_.Fill(out, heard_at); });
  if (output.ok())
    output_ = std::move(*output);
  else
    Tell(output.error().message);
}

void SoundPlayer::Work() {
  Reader reader;
  std::unique_lock lock(mutex_);
  while (!closing_) {
    const Wanted wanted = wanted_;
    lock.unlock();
    if (wanted.output && !output_tried_) OpenOutput();
    if (output_ && output_->lost()) {
      output_.reset();
      Tell("No sound: the device that played it is gone.");
    }
    bool more = false;
    const auto block = static_cast<std::size_t>(kBlockSeconds * kSoundRate * 2);
    if (output_ && wanted.run && mixer_.Room(*wanted.run) >= block) {
      std::string problem;
      mixer_.Put(*wanted.run, reader.Next(wanted, problem));
      Tell(problem);
      more = true;
    }
    lock.lock();
    if (!more)
      changed_.wait_for(lock, wanted.run ? kLookAgain : kLookAgainIdle, [&] {
        return closing_ || wanted_.generation != wanted.generation || wanted_.output != wanted.output;
      });
  }
  lock.unlock();
  output_.reset();
}

}  // namespace afterscope
