// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/action_scene.hpp"
#include "app/desktop/follow/following.hpp"
#include "app/desktop/picture/picture_panel.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>

namespace afterscope {

// Follows the eye and instruments in the open case on wish, offers the doubtful frames, and keeps what was
// followed in step with the case. One thread.
class FollowKeeper {
 public:
  // changed: other results hold for the open case than before, though the case is the same; the quiet line of
  // that name shows them.
  FollowKeeper(JobRunner& jobs, PictureState& picture, std::function<void()> wake,
               std::function<void(const char* line)> changed)
      : jobs_(jobs), picture_(picture), following_(std::move(wake)), changed_(std::move(changed)) {}

  // An action of the key map. False: not one of these.
  bool Do(const std::string& action, const ActionScene& on);
  // Once a frame. A click on a frame that was offered follows again, which costs the stretches on both sides
  // of it.
  void Follow(const std::shared_ptr<const CaseView>& view, const ActionScene& on);
  void Forget();  // another case

  const Followed& followed() const { return following_.followed(); }
  const JobHandle& work() const { return following_.job(); }  // the last one; may be null
  // What is looked at just now, while the player rests where it was when the work began and no tool is in
  // hand.
  std::optional<LiveTip> Live(const Player& player) const;

 private:
  bool CanStart(const ActionScene& on) const;  // says so where it can't
  void StartTip(const TrailId& trail, const ActionScene& on);
  void StartEye(const ActionScene& on);
  void Start(const std::optional<TrailId>& trail, const ActionScene& on);
  void Took(const std::optional<TrailId>& trail, const Result<FollowOutcome>& outcome, const SayCall& say,
            const KeyMap& keys);
  void Offer(const ActionScene& on);

  JobScope jobs_;
  PictureState& picture_;
  Following following_;
  std::function<void(const char*)> changed_;
  std::shared_ptr<const CaseView> view_;
  FrameRef began_at_;                      // where the player stood when a tip was to be followed
  bool eye_at_work_ = false;               // the last work is on the eye alone
  std::optional<std::uint64_t> revision_;  // of the case that the results were looked up for
};

}  // namespace afterscope
