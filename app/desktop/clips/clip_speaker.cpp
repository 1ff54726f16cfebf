// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/clip_speaker.hpp"

#include "annotate/jobs/clip/clip_sound.hpp"

#include <chrono>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kBlock = kSoundRate / 10;  // samples read at once
constexpr auto kLookAgain = std::chrono::milliseconds(30);

}  // namespace

// Reads one run after another, on the thread.
class ClipSpeaker::Feed {
 public:
  // The next block of that run.
  Result<std::vector<float>> Next(const std::shared_ptr<const Wanted>& wanted) {
    if (wanted != wanted_) AFTERSCOPE_TRY(Begin(wanted));
    auto block = track_->Read(at_, kBlock, {});
    at_ += kBlock;
    return block;
  }
  bool Over(const std::shared_ptr<const Wanted>& wanted) const {
    return wanted == wanted_ &&
           (!track_ || at_ > std::llround(schedule_->Seconds(schedule_->frames()) * kSoundRate));
  }
  void Release() { *this = {}; }

 private:
  Status Begin(const std::shared_ptr<const Wanted>& wanted) {
    track_.reset();
    schedule_.reset();
    wanted_ = wanted;
    at_ = wanted->from;
    ClipPlan heard = wanted->plan;
    for (ClipPart& part : heard.parts) part.findings = false;  // they are seen, not heard
    AFTERSCOPE_ASSIGN(ClipSource source, ClipSource::Open(wanted->folder, heard, RealFileSystem()));
    source_ = std::make_unique<ClipSource>(std::move(source));
    schedule_ = std::make_unique<ClipSchedule>(wanted->plan, source_->Clocks());
    AFTERSCOPE_ASSIGN(ClipSoundTrack track, ClipSoundTrack::Open(wanted->plan, *schedule_, *source_));
    track_ = std::make_unique<ClipSoundTrack>(std::move(track));
    return {};
  }

  std::shared_ptr<const Wanted> wanted_;
  std::unique_ptr<ClipSource> source_;
  std::unique_ptr<ClipSchedule> schedule_;
  std::unique_ptr<ClipSoundTrack> track_;
  std::int64_t at_ = 0;  // sample of the clip
};

ClipSpeaker::ClipSpeaker(SoundOutput::Opener opener)
    : opener_(std::move(opener)), thread_([this] { Work(); }) {}

ClipSpeaker::~ClipSpeaker() {
  {
    const std::lock_guard lock(mutex_);
    closing_ = true;
  }
  changed_.notify_all();
  thread_.join();
}

void ClipSpeaker::Start(const std::string& case_folder, const ClipPlan& plan, double from_seconds) {
  auto wanted = std::make_shared<Wanted>();
  wanted->folder = case_folder;
  wanted->plan = plan;
  wanted->from = std::llround(from_seconds * kSoundRate);
  wanted->run = mixer_.Begin(wanted->from, 1);
  mixer_.SetClock({from_seconds, SteadySeconds(), 1, true});
  {
    const std::lock_guard lock(mutex_);
    wanted_ = std::move(wanted);
    needs_output_ = true;
  }
  changed_.notify_all();
}

void ClipSpeaker::Stop() {
  mixer_.End();
  const std::lock_guard lock(mutex_);
  wanted_.reset();
}

void ClipSpeaker::PlayAlone(std::vector<float> samples) {
  mixer_.PlayAlone(std::move(samples));
  {
    const std::lock_guard lock(mutex_);
    needs_output_ = true;
  }
  changed_.notify_all();
}

std::string ClipSpeaker::problem() const {
  const std::lock_guard lock(mutex_);
  return problem_;
}

void ClipSpeaker::Tell(const std::string& problem) {
  const std::lock_guard lock(mutex_);
  problem_ = problem;
}

void ClipSpeaker::OpenOutput() {
  auto output = opener_([this](std::span<float> out, double heard_at) { mixer_.Fill(out, heard_at); });
  Tell(output.ok() ? std::string() : output.error().message);
  if (output.ok()) output_ = std::move(*output);
}

void ClipSpeaker::Work() {
  Feed feed;
  bool tried = false;
  std::unique_lock lock(mutex_);
  while (!closing_) {
    const std::shared_ptr<const Wanted> wanted = wanted_;
    const bool opens = needs_output_ && !std::exchange(tried, tried || needs_output_);
    lock.unlock();
    if (opens) OpenOutput();
    bool more = false;
    if (!wanted) {
      feed.Release();
    } else if (output_ && !feed.Over(wanted) &&
               mixer_.Room(wanted->run) >= static_cast<std::size_t>(kBlock)) {
      const auto block = feed.Next(wanted);
      if (block.ok())
        mixer_.Put(wanted->run, *block);
      else
        Tell(block.error().message);
      more = block.ok();
    }
    lock.lock();
    if (more || closing_) continue;
    const auto news = [&] { return closing_ || wanted_ != wanted || (needs_output_ && !tried); };
    if (wanted)
      changed_.wait_for(lock, kLookAgain, news);
    else
      changed_.wait(lock, news);
  }
  lock.unlock();
  output_.reset();
}

}  // namespace afterscope
