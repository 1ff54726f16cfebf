// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/clip_preview.hpp"

#include "annotate/jobs/clip/clip_source.hpp"
#include "app/desktop/clips/clip_speaker.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <utility>
#include <vector>

namespace afterscope {
namespace {

using Clock = std::chrono::steady_clock;
using std::chrono::duration;

constexpr double kLate = 0.05;         // seconds after which a frame is passed over
constexpr double kLongestPause = 0.2;  // but not for longer than this
constexpr int kPlayedHeight = 540;     // at most, while it plays
constexpr int kLeastHeight = 64;

// The plan drawn at most that high: letters and lines are those of the clip, only smaller.
ClipPlan Scaled(ClipPlan plan, int most_height) {
  if (most_height >= plan.height || most_height < kLeastHeight) return plan;
  const double scale = static_cast<double>(most_height) / plan.height;
  plan.width = std::max(kLeastHeight, static_cast<int>(plan.width * scale) / 2 * 2);
  plan.height = most_height / 2 * 2;
  return plan;
}

Picture Drawn(const ClipPlan& plan, const ClipSchedule& schedule, const ClipSource& source, std::int64_t n,
              const Picture& picture) {
  const auto frame = std::make_shared<YuvFrame>(plan.width, plan.height, ColorMatrix::kBt709);
  const ClipInstant instant = schedule.At(n);
  DrawClipFrame(plan, schedule, instant, source.CaseOf(instant.part), picture, *frame);
  return AsPicture(frame, {0, Pts{n}});
}

}  // namespace

ClipPreview::ClipPreview(std::function<void()> wake, ClipSpeaker* speaker)
    : wake_(std::move(wake)), speaker_(speaker), thread_([this] { Work(); }) {}

ClipPreview::~ClipPreview() {
  {
    const std::lock_guard lock(mutex_);
    closing_ = true;
    ++asked_;
  }
  changed_.notify_all();
  thread_.join();
}

void ClipPreview::Open(const std::string& case_folder, const ClipPlan& plan) {
  const std::lock_guard lock(mutex_);
  if (!open_) {
    wanted_ = 0;
    shown_ = {};
  }
  open_ = true;
  folder_ = case_folder;
  plan_ = plan;
  ++plan_version_;
  ++asked_;
  changed_.notify_all();
}

void ClipPreview::Close() {
  const std::lock_guard lock(mutex_);
  open_ = playing_ = false;
  shown_ = {};
  ++asked_;
  changed_.notify_all();
}

void ClipPreview::FitHeight(int height) {
  const std::lock_guard lock(mutex_);
  if (height == height_ || height < kLeastHeight) return;
  height_ = height;
  if (!open_ || playing_) return;
  ++asked_;
  changed_.notify_all();
}

void ClipPreview::Ask(std::int64_t frame) {
  playing_ = false;
  wanted_ = std::clamp<std::int64_t>(frame, 0, std::max<std::int64_t>(0, shown_.frames - 1));
  ++asked_;
  changed_.notify_all();
}

void ClipPreview::TogglePlay() {
  const std::lock_guard lock(mutex_);
  playing_ = !playing_;
  wanted_ = shown_.frame + 1 >= shown_.frames && playing_ ? 0 : shown_.frame;
  ++asked_;
  changed_.notify_all();
}

void ClipPreview::StepBy(std::int64_t frames) {
  const std::lock_guard lock(mutex_);
  Ask((playing_ ? shown_.frame : wanted_) + frames);
}

void ClipPreview::JumpTo(double share) {
  const std::lock_guard lock(mutex_);
  const bool plays = playing_;
  Ask(static_cast<std::int64_t>(share * static_cast<double>(shown_.frames)));
  playing_ = plays;
}

void ClipPreview::GoToPart(std::size_t part, bool end) {
  const std::lock_guard lock(mutex_);
  playing_ = false;
  wanted_part_ = part;
  wanted_end_ = end;
  ++asked_;
  changed_.notify_all();
}

void ClipPreview::JumpToPart(std::size_t part) { GoToPart(part, false); }

void ClipPreview::JumpToEndOfPart(std::size_t part) { GoToPart(part, true); }

PreviewShown ClipPreview::shown() const {
  const std::lock_guard lock(mutex_);
  PreviewShown shown = shown_;
  shown.playing = playing_;
  return shown;
}

// With the lock held.
void ClipPreview::Publish(const Picture& picture, std::int64_t frame) {
  shown_.picture = picture;
  shown_.frame = frame;
  shown_.frames = schedule_->frames();
  const ClipInstant instant = schedule_->At(frame);
  shown_.part = instant.part;
  shown_.into_part = instant.into_part;
  shown_.case_seconds = instant.case_seconds;
  shown_.seconds = schedule_->Seconds(frame);
  shown_.total_s = schedule_->Seconds(schedule_->frames());
  shown_.problem.clear();
  wake_();
}

// Opens the plan that is asked for; false where it can't be (then shown_ says why).
bool ClipPreview::Load(std::unique_lock<std::mutex>& lock) {
  if (loaded_version_ == plan_version_ && source_) return true;
  const std::uint64_t version = plan_version_;
  const std::string folder = folder_;
  ClipPlan plan = plan_;
  lock.unlock();
  Status status = CheckPlan(plan);
  std::unique_ptr<ClipSource> source;
  if (status.ok()) {
    auto opened = ClipSource::Open(folder, plan, RealFileSystem(), source_.get());
    if (opened.ok())
      source = std::make_unique<ClipSource>(std::move(*opened));
    else
      status = opened.error();
  }
  lock.lock();
  loaded_version_ = version;
  source_ = std::move(source);
  loaded_ = std::move(plan);
  loaded_folder_ = folder;
  if (!source_) {
    shown_ = {};
    shown_.problem = status.error().message;
    playing_ = false;
    wake_();
    return false;
  }
  schedule_ = std::make_unique<ClipSchedule>(loaded_, source_->Clocks());
  wanted_ = std::clamp<std::int64_t>(wanted_, 0, schedule_->frames() - 1);
  return true;
}

void ClipPreview::ShowOne(std::unique_lock<std::mutex>& lock) {
  if (wanted_part_ < loaded_.parts.size()) {
    const std::int64_t last = schedule_->FirstFrame(wanted_part_) + schedule_->FrameCount(wanted_part_) - 1;
    wanted_ = wanted_end_ ? last : schedule_->SeenBeginning(wanted_part_);
  }
  wanted_part_ = SIZE_MAX;
  const std::int64_t frame = wanted_;
  const std::uint64_t asked = asked_;
  const ClipPlan plan = Scaled(loaded_, height_);
  lock.unlock();
  const ClipInstant instant = schedule_->At(frame);
  Picture drawn;
  Status status;
  const auto draw = [&](const Picture& picture) {
    drawn = Drawn(plan, *schedule_, *source_, frame, picture);
    return Status();
  };
  if (loaded_.parts[instant.part].kind == ClipPartKind::kTitle)
    status = draw({});
  else
    status = source_->Pictures(instant.part, {instant.case_seconds}, draw, [&] {
      const std::lock_guard again(mutex_);
      return closing_ || (asked_ != asked && plan_version_ != loaded_version_);
    });
  lock.lock();
  if (!drawn.empty()) return Publish(drawn, frame);
  if (!status.ok() && status.error().code != ErrorCode::kStopped) shown_.problem = status.error().message;
  wake_();
}

void ClipPreview::Hear(double from_seconds) {
  if (speaker_ != nullptr) speaker_->Start(loaded_folder_, loaded_, from_seconds);
}

void ClipPreview::Play(std::unique_lock<std::mutex>& lock) {
  const std::uint64_t asked = asked_;
  const std::int64_t first = wanted_;
  const int height = height_;
  lock.unlock();
  const ClipPlan plan = Scaled(loaded_, std::min(kPlayedHeight, height));
  const double rate = plan.rate.value();
  const auto begun = Clock::now();
  Hear(static_cast<double>(first) / rate);
  auto drawn_last = begun;
  double slipped = 0;  // seconds that this machine is behind
  const auto interrupted = [&] {
    const std::lock_guard again(mutex_);
    return asked_ != asked;
  };
  const auto now_s = [&] { return duration<double>(Clock::now() - begun).count() - slipped; };
  std::int64_t frame = first;
  const auto show = [&](const Picture& picture) -> Status {
    const std::int64_t n = frame++;
    const double due = static_cast<double>(n - first) / rate;
    const double late = now_s() - due;
    const bool paused_long = duration<double>(Clock::now() - drawn_last).count() > kLongestPause;
    if (late > kLate && !paused_long && n + 1 < schedule_->frames()) return {};
    if (late > 1) {
      slipped += late;
      Hear(static_cast<double>(n) / rate);
    }
    const Picture drawn = Drawn(plan, *schedule_, *source_, n, picture);
    std::unique_lock again(mutex_);
    changed_.wait_for(again, duration<double>(std::max(0.0, due - now_s())), [&] { return asked_ != asked; });
    if (asked_ != asked) return Error{ErrorCode::kStopped, "The preview was stopped."};
    Publish(drawn, n);
    drawn_last = Clock::now();
    return {};
  };
  Status status;
  while (status.ok() && frame < schedule_->frames() && !interrupted()) {
    const std::size_t part = schedule_->At(frame).part;
    const std::int64_t end = schedule_->FirstFrame(part) + schedule_->FrameCount(part);
    if (loaded_.parts[part].kind == ClipPartKind::kTitle) {
      while (status.ok() && frame < end) status = show({});
      continue;
    }
    std::vector<double> times;
    for (std::int64_t n = frame; n < end; ++n) times.push_back(schedule_->At(n).case_seconds);
    status = source_->Pictures(part, times, show, interrupted);
  }
  if (speaker_ != nullptr) speaker_->Stop();
  lock.lock();
  if (!status.ok() && status.error().code != ErrorCode::kStopped) {
    shown_.problem = status.error().message;
    playing_ = false;
  }
  if (asked_ != asked) return;
  playing_ = false;  // it is over: the last frame in full size
  wanted_ = schedule_->frames() - 1;
  ++asked_;
}

void ClipPreview::Work() {
  std::unique_lock lock(mutex_);
  std::uint64_t done = 0;
  while (!closing_) {
    changed_.wait(lock, [&] { return closing_ || asked_ != done; });
    if (closing_) return;
    done = asked_;
    if (!open_) {
      source_.reset();  // lets go of the recordings
      continue;
    }
    if (!Load(lock)) continue;
    if (asked_ != done) continue;
    playing_ ? Play(lock) : ShowOne(lock);
  }
}

}  // namespace afterscope
