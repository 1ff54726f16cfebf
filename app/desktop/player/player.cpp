// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/player.hpp"

#include <algorithm>
#include <cmath>
#include <mutex>

namespace afterscope {
namespace {

// How far the picture may stay behind while playing before the clock waits for it, in seconds at normal
// speed.
constexpr double kMostBehind = 0.25;
// Seconds within which a picture of the recording's own is better than a small one that is nearer.
constexpr double kNearEnough = 0.5;

}  // namespace

// Where media threads leave pictures; outlives the player.
struct Player::Mailbox {
  explicit Mailbox(std::function<void()> when_put) : wake(std::move(when_put)) {}

  std::mutex mutex;
  std::optional<Picture> picture;
  std::optional<FrameRef> answered;  // the frame of the last request that ended, in whatever way
  std::string problem;
  const std::function<void()> wake;

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

Player::Player(Reel& reel, std::function<void()> wake)
    : reel_(reel), mail_(std::make_shared<Mailbox>(std::move(wake))) {}

// Seconds from the playhead.
double Player::Away(FrameRef frame) const {
  return std::abs(case_clock_.Seconds(frame) - case_clock_.Seconds(playhead_));
}

void Player::Show(Picture picture, bool stands_in) {
  if (!picture.empty()) picture = reel_.Shown(picture);
  shown_ = std::move(picture);
  stands_in_ = stands_in;
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
  Picture came = std::move(*mail_->picture);
  mail_->picture.reset();
  // One that was overtaken is still better than one that is farther away.
  if (exact() || (!stands_in_ && !IsBetter(came.frame))) return;
  problem_.clear();
  Show(std::move(came), false);
}

// Whether a picture of that frame is to be preferred to the shown one; while it plays, none from beyond the
// playhead, from which the pictures would have to go back.
bool Player::IsBetter(FrameRef frame) const {
  const double ahead = case_clock_.Seconds(frame) - case_clock_.Seconds(playhead_);
  if (playing() && (backwards() ? ahead < 0 : ahead > 0)) return false;
  return shown_.empty() || Away(frame) < Away(shown_.frame);
}

// The best of what is at hand until the playhead's own picture comes.
void Player::ShowNear(const Recording& recording) {
  auto near = recording.NearestCached(playhead_.pts);
  if (near && IsBetter(near->frame)) Show(std::move(*near), false);
  if (playing() || (!shown_.empty() && !stands_in_ && Away(shown_.frame) < kNearEnough)) return;
  auto stand_in = reel_.StandIn(playhead_);
  if (stand_in && IsBetter(stand_in->frame)) Show(std::move(*stand_in), true);
}

void Player::Ask(Recording& recording) {
  if (failed_ == playhead_ || asked_ == playhead_ || (playing() && asked_)) return;
  asked_ = playhead_;
  recording.Request(
      playhead_.pts, playing() ? Priority::kPlay : Priority::kShow,
      [mail = mail_, at = playhead_](Result<Picture> result) { mail->Put(at, std::move(result)); });
}

void Player::Fetch() {
  const std::shared_ptr<Recording> recording = reel_.Shared(playhead_.recording);
  if (!recording) {
    // What other recordings showed, or are still to send, is none of the next ones' business.
    if (!shown_.empty() || asked_) mail_ = std::make_shared<Mailbox>(mail_->wake);
    asked_.reset();
    Show({}, false);
    return;
  }
  if (exact()) return;
  if (auto cached = recording->Cached(playhead_.pts)) {
    Show(std::move(*cached), false);
    asked_.reset();
    problem_.clear();
    return;
  }
  ShowNear(*recording);
  Ask(*recording);
}

void Player::Move(FrameRef to, int direction) {
  if (to == playhead_ && direction == direction_) return;
  if (to.recording != playhead_.recording) asked_.reset();
  if (!playing()) asked_.reset();
  playhead_ = to;
  failed_.reset();
  direction_ = direction;
  reel_.Follow(to, direction);
}

void Player::PlayOn(const CaseClock& clock, const Tables& tables, double now) {
  if (backwards()) {
    Move(FrameAtSeconds(tables, clock, clock_.At(now)), -1);
    if (clock_.AtEnd(now)) Pause(now);
    return;
  }
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
  if (playing()) count_.Look(playhead_, IndexOf(tables, playhead_), exact());
  const double behind = shown_.empty() ? 1e9 : Away(shown_.frame);
  const bool picture_comes = reel_.At(playhead_.recording) != nullptr && problem_.empty();
  clock_.Hold(playing() && picture_comes && !exact() && behind > kMostBehind * std::max(1.0, speed()), now);
}

void Player::TogglePlay(double now) {
  if (playing() && !backwards()) return Pause(now);
  Start(false, now);
}

void Player::TogglePlayBackwards(double now) {
  if (playing() && backwards()) return Pause(now);
  Start(true, now);
}

void Player::Start(bool backwards, double now) {
  clock_.Jump(case_clock_.Seconds(playhead_), now);
  // From the last frame there is nothing left to play; which one is the last is not known without a table.
  const Tables tables = reel_.tables();
  const FrameRef next = StepFrames(tables, playhead_, 1);
  if (!backwards && IndexOf(tables, playhead_) && next == playhead_)
    clock_.Jump(case_clock_.TotalSeconds(), now);
  else if (!backwards && !plan_.stretches.empty() && next >= plan_.stretches.back().end)
    clock_.Jump(case_clock_.Seconds(plan_.stretches.front().start), now);
  clock_.Play(now, backwards);
}

void Player::Pause(double now) {
  clock_.Pause(now);
  count_.End();
  direction_ = 0;
  asked_.reset();
  Move(playhead_, 0);
}

void Player::JumpTo(FrameRef at, double now) {
  count_.End();
  Move(FrameShownAt(reel_.tables(), at), playing() ? (backwards() ? -1 : 1) : 0);
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
