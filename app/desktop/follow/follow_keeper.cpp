// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/follow/follow_keeper.hpp"

#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/store/followed_files.hpp"
#include "app/desktop/timeline/followed_lines.hpp"

#include <fmt/format.h>

#include <utility>

namespace afterscope {

namespace {

// What came of following the eye: on how much of the recordings, and what could not be done.
std::string EyeWords(const FollowOutcome& outcome) {
  std::size_t frames = 0, trusted = 0;
  for (const FollowedEye& eye : outcome.followed.eyes) {
    frames += eye.frames.size();
    for (const EyeAtFrame& f : eye.frames) trusted += f.pose.trust >= kLeastTrust;
  }
  std::string words = frames == 0
                          ? "No eye was found."
                          : fmt::format("The eye was followed on {:.0f} % of the pictures.",
                                        100.0 * static_cast<double>(trusted) / static_cast<double>(frames));
  if (!outcome.cautions.empty()) words += " " + outcome.cautions.front();
  return words;
}

}  // namespace

bool FollowKeeper::Do(const std::string& action, const ActionScene& on) {
  const bool eye = action == "follow eye", tip = action == "follow tip";
  if ((eye || tip) && following_.running()) {
    following_.Stop();
  } else if (eye) {
    StartEye(on);
  } else if (tip) {
    const Trail* trail = TrailNear(on.scene.view.review, on.scene.clock, on.player.playhead());
    if (trail != nullptr)
      StartTip(trail->id, on);
    else
      on.say(fmt::format(
                 "No tip is set within ten seconds of this frame: {} and a click set it, then {} follows it.",
                 on.scene.keys.KeyFor("mark tip"), on.scene.keys.KeyFor("follow tip")),
             false);
  } else if (action == "doubtful tip") {
    Offer(on);
  } else {
    return false;
  }
  return true;
}

bool FollowKeeper::CanStart(const ActionScene& on) const {
  if (!view_->folder.empty() && on.scene.Editable()) return true;
  on.say("Following needs a case that is open for writing.", true);
  return false;
}

void FollowKeeper::StartTip(const TrailId& trail, const ActionScene& on) {
  if (!CanStart(on)) return;
  on.Pause();
  began_at_ = on.player.playhead();
  picture_.tool = Tool::kNone;
  picture_.tip_trail.reset();
  picture_.chosen.reset();
  Start(trail, on);
}

// It takes long: meanwhile the case is looked at and tagged as usual.
void FollowKeeper::StartEye(const ActionScene& on) {
  if (CanStart(on)) Start(std::nullopt, on);
}

void FollowKeeper::Start(const std::optional<TrailId>& trail, const ActionScene& on) {
  eye_at_work_ = !trail;
  on.say({}, false);  // what was said before makes room for how far the work is
  CaseRecord record = view_->KeptRecord();
  record.recordings = on.scene.reel.Known(record.recordings);
  following_.Start(jobs_, view_->folder, std::move(record), view_->KeptReview(), trail,
                   [this, trail, &say = on.say, &keys = on.scene.keys](const Result<FollowOutcome>& outcome) {
                     Took(trail, outcome, say, keys);
                   });
}

void FollowKeeper::Took(const std::optional<TrailId>& trail, const Result<FollowOutcome>& outcome,
                        const SayCall& say, const KeyMap& keys) {
  revision_.reset();  // what was found before it was stopped counts too
  changed_(trail ? kTrustLine : kPupilLine);
  if (!outcome.ok() && outcome.error().code == ErrorCode::kStopped)
    return say(fmt::format("Following was stopped; what was followed is kept, and {} goes on.",
                           keys.KeyFor(trail ? "follow tip" : "follow eye")),
               false);
  if (!outcome.ok()) return say(outcome.error().message, true);
  following_.Take(outcome->followed);
  if (!trail) return say(EyeWords(*outcome), false);
  std::size_t doubts = 0;
  for (const FollowedTrail& followed : outcome->followed.trails) doubts += FramesInDoubt(followed).size();
  say(doubts == 0
          ? "Followed; no frame is in doubt."
          : fmt::format("Followed; {} goes through the frames in doubt.", keys.KeyFor("doubtful tip")),
      false);
}

void FollowKeeper::Offer(const ActionScene& on) {
  if (following_.running() && eye_at_work_)
    return on.say("The eye is being followed; the frames in doubt are offered when that is done.", false);
  const auto offer = following_.NextOffer();
  picture_.tip_trail.reset();
  if (!offer)
    return on.say(following_.followed().trails.empty()
                      ? fmt::format("Nothing has been followed yet: {} near a tip that is set does.",
                                    on.scene.keys.KeyFor("follow tip"))
                      : "No other frame is in doubt.",
                  false);
  on.Pause();
  on.JumpTo(offer->at);
  picture_.tool = Tool::kTip;
  picture_.tip_trail = offer->trail;
  on.say(fmt::format("In doubt, {} left: click the tip; {} passes on.", offer->left,
                     on.scene.keys.KeyFor("doubtful tip")),
         false);
}

void FollowKeeper::Follow(const std::shared_ptr<const CaseView>& view, const ActionScene& on) {
  view_ = view;
  if (!picture_.tip_trail) following_.Withdraw();  // the tool was put away
  if (const auto answered = following_.TakeAnswered(view->review)) StartTip(*answered, on);
  if (following_.running() || revision_ == view->revision) return;
  revision_ = view->revision;
  if (view->folder.empty()) return following_.Take({});
  jobs_.Start(
      "",
      [view](const Progress&, const StopQuery&) {
        return CurrentOf(LoadFollowed(view->folder, view->review.id), view->KeptRecord(), view->KeptReview(),
                         nullptr);
      },
      [this, revision = view->revision](Followed followed) {
        if (revision_ == revision) following_.Take(std::move(followed));
      });
}

void FollowKeeper::Forget() {
  following_.Forget();
  jobs_.Renew();
  revision_.reset();
}

std::optional<LiveTip> FollowKeeper::Live(const Player& player) const {
  if (player.playing() || player.playhead() != began_at_ || picture_.tool != Tool::kNone) return std::nullopt;
  return following_.Shown();
}

}  // namespace afterscope
