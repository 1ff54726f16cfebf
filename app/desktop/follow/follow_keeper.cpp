// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/follow/follow_keeper.hpp"

#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/store/followed_files.hpp"

#include <fmt/format.h>

#include <utility>

namespace afterscope {

bool FollowKeeper::Do(const std::string& action, const ActionScene& on) {
  if (action == "follow tip") {
    const Trail* trail = TrailNear(on.scene.view.review, on.scene.clock, on.player.playhead());
    if (following_.running())
      following_.Stop();
    else if (trail != nullptr)
      Start(trail->id, on);
    else
      on.say(fmt::format(
                 "No tip is set within ten seconds of this frame: {} and a click set it, then {} follows it.",
                 on.scene.keys.KeyFor("mark tip"), on.scene.keys.KeyFor("follow tip")),
             false);
    return true;
  }
  if (action != "doubtful tip") return false;
  Offer(on);
  return true;
}

void FollowKeeper::Start(const TrailId& trail, const ActionScene& on) {
  if (view_->folder.empty() || !on.scene.Editable())
    return on.say("Following needs a case that is open for writing.", true);
  on.Pause();
  on.say({}, false);  // what was said before makes room for how far the work is
  began_at_ = on.player.playhead();
  picture_.tool = Tool::kNone;
  picture_.tip_trail.reset();
  picture_.chosen.reset();
  CaseRecord record = view_->KeptRecord();
  record.recordings = on.scene.reel.Known(record.recordings);
  following_.Start(jobs_, view_->folder, std::move(record), view_->KeptReview(), trail,
                   [this, &say = on.say, &keys = on.scene.keys](const Result<FollowOutcome>& outcome) {
                     Took(outcome, say, keys);
                   });
}

void FollowKeeper::Took(const Result<FollowOutcome>& outcome, const SayCall& say, const KeyMap& keys) {
  revision_.reset();  // what was found before it was stopped counts too
  changed_();
  if (!outcome.ok()) return say(outcome.error().message, outcome.error().code != ErrorCode::kStopped);
  following_.Take(outcome->followed);
  std::size_t doubts = 0;
  for (const FollowedTrail& trail : outcome->followed.trails) doubts += FramesInDoubt(trail).size();
  say(doubts == 0
          ? "Followed; no frame is in doubt."
          : fmt::format("Followed; {} goes through the frames in doubt.", keys.KeyFor("doubtful tip")),
      false);
}

void FollowKeeper::Offer(const ActionScene& on) {
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
  if (const auto answered = following_.TakeAnswered(view->review)) Start(*answered, on);
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
