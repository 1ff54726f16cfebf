// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/follow/following.hpp"

#include "annotate/jobs/follow/follow_trail.hpp"
#include "annotate/jobs/follow/followed_digest.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr std::size_t kMostOffers = 40;
constexpr double kReachSeconds = 10;
constexpr double kWholeShare = 0.98;

bool IsSetAt(const Trail& trail, FrameRef at) {
  return std::any_of(trail.points.begin(), trail.points.end(),
                     [&](const TrailPoint& p) { return p.at == at && p.source != TrailSource::kFollowed; });
}

}  // namespace

const Trail* TrailNear(const Review& review, const CaseClock& clock, FrameRef at) {
  const Trail* near = nullptr;
  double least = kReachSeconds;
  for (const Trail& trail : review.trails)
    for (const TrailPoint& point : trail.points) {
      const double away = std::abs(clock.Seconds(point.at) - clock.Seconds(at));
      if (point.source == TrailSource::kFollowed || away > least) continue;
      near = &trail;
      least = away;
    }
  return near;
}

bool EyeIsFollowed(const Followed& followed, const std::vector<RecordingRef>& recordings) {
  for (std::size_t i = 0; i < recordings.size(); ++i) {
    const RecordingShape& shape = recordings[i].shape;
    const FollowedEye* eye = EyeOf(followed, static_cast<int>(i));
    if (!eye || !eye->complete) return false;
    const double done = (eye->range.end - eye->range.start).Seconds(shape.time_base),
                 all = (shape.end - shape.first).Seconds(shape.time_base);
    if (done < kWholeShare * all) return false;
  }
  return !recordings.empty();
}

std::vector<FrameRef> FramesInDoubt(const FollowedTrail& followed) {
  std::vector<FrameRef> out;
  for (const std::size_t i : DoubtfulTips(followed, kMostOffers)) out.push_back(followed.tips[i].at);
  return out;
}

void Following::Start(JobScope& jobs, const std::string& folder, CaseRecord record, Review review,
                      const std::optional<TrailId>& trail, std::function<void(Result<FollowOutcome>)> done) {
  Stop();
  if (trail) trail_ = trail;
  passed_.clear();
  offer_.reset();
  live_ = std::make_shared<Live>(live_->wake);  // what an earlier job still sees is not looked at any more
  FollowRequest request;
  request.trail = trail;
  request.only_eye = !trail;
  const auto watch = [live = live_](const Picture& picture, std::optional<PointPx> tip) {
    {
      const std::lock_guard lock(live->mutex);
      live->tip = {picture, tip};
    }
    if (live->wake) live->wake();
  };
  if (trail) request.watch = watch;
  job_ = jobs.Start(
      trail ? "Following the tip" : "Following the eye",
      [folder, record = std::move(record), review = std::move(review), request = std::move(request)](
          const Progress& progress, const StopQuery& stop) {
        return FollowReview(folder, record, review, request, progress, stop);
      },
      std::move(done));
}

void Following::Forget() {
  Stop();
  job_.reset();
  trail_.reset();
  followed_ = {};
  offer_.reset();
  passed_.clear();
}

void Following::Stop() {
  if (job_) job_->Stop();
}

std::optional<LiveTip> Following::Shown() const {
  if (!running()) return std::nullopt;
  const std::lock_guard lock(live_->mutex);
  if (live_->tip.picture.empty()) return std::nullopt;
  return live_->tip;
}

std::optional<Following::Offer> Following::NextOffer() {
  const auto last = std::find_if(followed_.trails.begin(), followed_.trails.end(),
                                 [&](const FollowedTrail& t) { return trail_ && t.trail == *trail_; });
  offer_.reset();
  if (followed_.trails.empty()) return std::nullopt;
  const FollowedTrail& followed = last == followed_.trails.end() ? followed_.trails.front() : *last;
  std::vector<FrameRef> doubt = FramesInDoubt(followed);
  std::erase_if(doubt, [&](FrameRef at) { return std::count(passed_.begin(), passed_.end(), at) > 0; });
  if (doubt.empty()) return std::nullopt;
  passed_.push_back(doubt.front());
  offer_ = Offer{followed.trail, doubt.front(), doubt.size()};
  return offer_;
}

std::optional<TrailId> Following::TakeAnswered(const Review& review) {
  if (!offer_) return std::nullopt;
  for (const Trail& trail : review.trails)
    if (trail.id == offer_->trail && IsSetAt(trail, offer_->at)) {
      offer_.reset();
      return trail.id;
    }
  return std::nullopt;
}

}  // namespace afterscope
