// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/followed.hpp"
#include "annotate/jobs/follow/follow_review.hpp"
#include "app/common/job_scope.hpp"

#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// The trail whose point set by hand is nearest in time to that frame, within ten seconds; null if there is
// none.
const Trail* TrailNear(const Review& review, const CaseClock& clock, FrameRef at);

// Frames of a followed trail that a person should look at, the least believed first.
std::vector<FrameRef> FramesInDoubt(const FollowedTrail& followed);

// Whether the eye was followed through all of these recordings, but for a fiftieth; of none it was not.
bool EyeIsFollowed(const Followed& followed, const std::vector<RecordingRef>& recordings);

// The picture that was looked at last, and where the tip probably is on it.
struct LiveTip {
  Picture picture;
  std::optional<PointPx> tip;
};

// Following an instrument from the window: the job while it runs, what holds of the results, and the doubtful
// frames that are offered one after another. One thread, but for what the job leaves in `live_`.
class Following {
 public:
  explicit Following(std::function<void()> wake) : live_(std::make_shared<Live>(std::move(wake))) {}

  // Follows that trail of the review, which lies in that folder; none: the eye through the whole case. `done`
  // is called by the runner's Drain. `record`: with all that is known of the recordings.
  void Start(JobScope& jobs, const std::string& folder, CaseRecord record, Review review,
             const std::optional<TrailId>& trail, std::function<void(Result<FollowOutcome>)> done);
  void Stop();
  bool running() const { return job_ && !job_->ended(); }
  const JobHandle& job() const { return job_; }  // the last one; may be null
  std::optional<LiveTip> Shown() const;          // while it runs

  // What holds of what was followed.
  void Take(Followed followed) { followed_ = std::move(followed); }
  void Forget();  // another case
  const Followed& followed() const { return followed_; }

  // The next frame in doubt, of the trail followed last or the first there is; none: nothing is in doubt.
  struct Offer {
    TrailId trail;
    FrameRef at;
    std::size_t left = 0;  // this one included
  };
  std::optional<Offer> NextOffer();
  // The offered frame's trail, once the review has a point on that frame; then the offer is over.
  std::optional<TrailId> TakeAnswered(const Review& review);
  void Withdraw() { offer_.reset(); }

 private:
  struct Live {
    explicit Live(std::function<void()> w) : wake(std::move(w)) {}
    std::function<void()> wake;
    std::mutex mutex;
    LiveTip tip;
  };

  std::shared_ptr<Live> live_;
  JobHandle job_;
  std::optional<TrailId> trail_;  // followed last
  Followed followed_;
  std::optional<Offer> offer_;
  std::vector<FrameRef> passed_;  // offered before, since the last following
};

}  // namespace afterscope
