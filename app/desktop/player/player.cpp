// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/player.hpp"

#include <algorithm>
#include <mutex>

namespace afterscope {
namespace {

// How far the picture may stay behind while playing before the clock waits for it, in seconds at normal
// speed.
constexpr double kMostBehind = 0.25;

}  // namespace

// Where media threads leave pictures; outlives the player.
struct Player::Mailbox {
  std::mutex mutex;
  std::optional<Picture> picture;
  std::optional<FrameRef> answered;  // the frame of the last request that ended, in whatever way
  std::string problem;
  std::function<void()> wake;

  void Put(FrameRef asked, Result<Picture> result) {
    {
      const std::lock_guard lock(mutex);
      answered = asked;
      if (result)
        picture = std::move(result).value();
      else if (result.error().code != ErrorCode::kStopped)
        problem = result.error().message;
    }
    if (wake) wake();
  }
};

Player::Player(Reel& reel, std::function<void()> wake) : reel_(reel), mail_(std::make_shared<Mailbox>()) {
  mail_->wake = std::move(wake);
}

void Player::TakeMail() {
  const std::lock_guard lock(mail_->mutex);
  const auto answered = std::exchange(mail_->answered, std::nullopt);
  if (answered && answered == asked_) asked_.reset();
  if (!mail_->problem.empty()) {
    problem_ = std::exchange(mail_->problem, {});
    failed_ = answered;
  }
  if (!mail_->picture) return;
  const Picture came = std::move(*mail_->picture);
  mail_->picture.reset();
  // A picture that was overtaken is still better than an older one while it moves.
  const bool useful = came.frame == playhead_ || playing() || scrubbing_ || shown_.empty();
  if (useful && !exact()) {
    shown_ = came;
    problem_.clear();
  }
}

void Player::Fetch() {
  if (exact()) return;
  const std::shared_ptr<Recording> recording = reel_.Shared(playhead_.recording);
  if (!recording) {
    shown_ = {};
    return;
  }
  if (auto cached = recording->Cached(playhead_.pts)) {
    shown_ = std::move(*cached);
    asked_.reset();
    problem_.clear();
    return;
  }
  if (scrubbing_)
    if (auto near = recording->NearestCached(playhead_.pts)) shown_ = std::move(*near);
  if (failed_ == playhead_ || asked_ == playhead_ || (playing() && asked_)) return;
  asked_ = playhead_;
  recording->Request(
      playhead_.pts, playing() ? Priority::kPlay : Priority::kShow,
      [mail = mail_, at = playhead_](Result<Picture> result) { mail->Put(at, std::move(result)); });
}

void Player::Move(FrameRef to, int direction) {
  if (to == playhead_ && direction == direction_) return;
  if (to.recording != playhead_.recording) asked_.reset();
  if (!playing()) asked_.reset();
  playhead_ = to;
  failed_.reset();
  direction_ = direction;
  if (Recording* recording = reel_.At(to.recording)) recording->SetPlayhead(to.pts, direction);
}

void Player::PlayOn(const CaseClock& clock, const Tables& tables, double now) {
  const PlayPoint point = Follow(plan_, clock, clock_.At(now));
  if (point.jumped) clock_.Jump(point.seconds, now);
  if (!point.ended) return Move(FrameAtSeconds(tables, clock, point.seconds), 1);
  // The end is a boundary: the frame before it is the last one that belongs to what was played.
  const FrameRef end = clock.At(point.seconds);
  Move(FrameShownAt(tables, {end.recording, {end.pts.ticks - 1}}), 1);
  clock_.Jump(point.seconds, now);
  Pause(now);
}

void Player::Update(const CaseClock& clock, double now) {
  case_clock_ = clock;
  clock_.SetTotal(clock.TotalSeconds(), now);
  TakeMail();
  const Tables tables = reel_.tables();
  if (playing()) {
    PlayOn(clock, tables, now);
  } else {
    Move(FrameShownAt(tables, playhead_), direction_);  // the table may have been corrected
  }
  Fetch();
  const double behind = shown_.empty() ? 1e9 : clock.Seconds(playhead_) - clock.Seconds(shown_.frame);
  const bool picture_comes = reel_.At(playhead_.recording) != nullptr && problem_.empty();
  clock_.Hold(playing() && picture_comes && !exact() && behind > kMostBehind * std::max(1.0, speed()), now);
}

void Player::TogglePlay(double now) {
  if (playing()) return Pause(now);
  clock_.Jump(case_clock_.Seconds(playhead_), now);
  // From the last frame there is nothing left to play.
  const Tables tables = reel_.tables();
  const FrameRef next = StepFrames(tables, playhead_, 1);
  if (!tables.empty() && next == playhead_)
    clock_.Jump(case_clock_.TotalSeconds(), now);
  else if (!plan_.stretches.empty() && next >= plan_.stretches.back().end)
    clock_.Jump(case_clock_.Seconds(plan_.stretches.front().start), now);
  clock_.Play(now);
}

void Player::Pause(double now) {
  clock_.Pause(now);
  direction_ = 0;
  asked_.reset();
  Move(playhead_, 0);
}

void Player::JumpTo(FrameRef at, double now) {
  Move(FrameShownAt(reel_.tables(), at), playing() ? 1 : 0);
  clock_.Jump(case_clock_.Seconds(playhead_), now);
}

void Player::Drive(double seconds, bool plays, double now) {
  if (plays) {
    if (!playing()) clock_.Play(now);
    return clock_.Jump(seconds, now);
  }
  if (playing()) Pause(now);
  if (FrameAtSeconds(reel_.tables(), case_clock_, seconds) != playhead_) JumpToSeconds(seconds, now);
}

void Player::JumpToSeconds(double seconds, double now) { JumpTo(case_clock_.At(seconds), now); }

void Player::StepBy(std::int64_t frames, double now) {
  if (playing()) Pause(now);
  Move(StepFrames(reel_.tables(), playhead_, frames), frames < 0 ? -1 : 1);
  clock_.Jump(case_clock_.Seconds(playhead_), now);
}

}  // namespace afterscope
