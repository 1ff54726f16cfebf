// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/eye_view.hpp"
#include "metrics/follow/find_shaft.hpp"
#include "metrics/follow/line_end.hpp"
#include "metrics/follow/shaft_pivot.hpp"
#include "metrics/follow/tip_looks.hpp"
#include "metrics/follow/tip_route.hpp"
#include "metrics/follow/tip_sight.hpp"
#include "metrics/follow/trail_walks.hpp"

#include <array>
#include <map>
#include <optional>
#include <utility>
#include <vector>

namespace afterscope {

struct FollowOptions {
  TipLookOptions looks;
  RouteOptions route;
  double reach_mm = 0.8;       // round a hand-set point the tip is looked for within this ...
  double reach_mm_s = 18;      // ... growing by this with the time to it ...
  double most_reach_mm = 6.5;  // ... up to this, then about the eye's centre
  double turn_deg = 30;        // the shaft may differ by this from between the hand-set points
  double noise_mm = 0.06;      // usual error of one frame's place, for smoothing
  // Below it a point is not believed. On 30 phantoms (follow_bench, seeds 97001 on), corrected until 95 % of
  // the frames are right, limits of 0.92, 0.86, 0.84 and 0.80 believe 78, 83, 85 and 87 % of the frames on
  // which the tip is seen; of those 0.08, 0.10, 0.11 and 0.11 % are off by more than 0.3 mm. Marked every
  // four seconds only (9 others), 0.92, 0.84 and 0.80 believe 79, 84 and 85 %, and 0.3, 0.8 and 1.0 % are
  // off. On 30 that it was not chosen by (99001 on), 0.80 believes 86 %, 0.3 % of those off.
  double least_confidence = 0.8;
};

// One frame of a followed trail.
struct FollowedPoint {
  std::optional<TipPose> pose;  // none: the tip is not seen there, by this account
  bool by_hand = false;
  TipEvidence evidence;
  double odds = 0;         // TipCandidate
  double margin = 0;       // RoutePoint
  double unsteady_mm = 0;  // from the place that the neighbouring frames suggest
  double confidence = 0;   // 0 to 1; of a frame without pose: that the tip can't be seen
};

// Follows one instrument through the frames of one stretch of recording, between and beyond points set by
// hand.
//
// Use: AddGround with the pictures of GroundFrames, which tell the eye from the instruments before it;
// without them (all or none) less is found. SetByHand for one frame or more. Learn. Look at every frame that
// FramesToLookAt names, in any order; Solve. A later SetByHand (and Learn) names only the frames anew that it
// changes. Look may run in several threads for different frames; nothing else may run beside it. Of a frame
// looked at a small picture is kept (44 kB): Solve also follows the end from frame to frame over them.
class TrailFollower {
 public:
  // seconds: of each frame, rising. px_per_mm: in the plane of the limbus (taken as 2 if less). eye: where
  // the limbus' centre is. poses: where the eye is on each frame against one on which it is at `eye` and
  // px_per_mm holds; empty: there on all of them. The tip is followed in the eye's frame.
  TrailFollower(std::vector<double> seconds, double px_per_mm, PointPx eye, const FollowOptions& options = {},
                std::vector<EyePose> poses = {});

  std::vector<std::size_t> GroundFrames() const { return view_.GroundFrames(); }
  void AddGround(std::size_t index, const cv::Mat& picture) { view_.AddGround(index, picture); }

  // picture: of frame `index`, CV_8UC1. Without a direction the shaft is found, near the one known from other
  // points if there are any. Setting a frame again replaces it. A frame that is none, no picture or a place
  // that is no number is ignored.
  void SetByHand(std::size_t index, const cv::Mat& picture, PointPx tip, std::optional<Angle> shaft = {});
  // What the instrument looks like, from all points set by hand, which are first made to agree: each place
  // becomes the mean of what the hand set and where the other looks find it.
  void Learn();
  std::vector<std::size_t> FramesToLookAt() const;
  void Look(std::size_t index, const cv::Mat& picture);
  // Frames set by hand stay where the hand set them.
  std::vector<FollowedPoint> Solve();

  // What Look (and after Solve the walks) found on a frame (in the eye's frame), to be kept and put back when
  // the work goes on later; none: not looked at since the last change round it.
  std::optional<std::vector<TipCandidate>> Seen(std::size_t index) const;
  // The likeliest of them, where it is in the picture.
  std::optional<PointPx> LikelyTip(std::size_t index) const;
  void PutBack(std::size_t index, std::vector<TipCandidate> candidates);
  // Frames that were put back before the walks went over them: they go on over them only if shown them again.
  std::vector<std::size_t> FramesToShowAgain() const;
  void ShowAgain(std::size_t index, const cv::Mat& picture);
  // The other hand-set frames on either side, none at an end: what a frame's candidates depend on.
  std::pair<std::optional<std::size_t>, std::optional<std::size_t>> HandsAround(std::size_t index) const;

  std::size_t size() const { return view_.size(); }
  std::size_t set_by_hand() const { return hand_.size(); }

 private:
  // All but `in_eye` in the follower's view of the frame.
  struct Hand {
    PointPx set;                      // by the hand
    std::optional<Angle> shaft;       // likewise
    cv::Mat small, view;              // the picture; it without the ground
    Angle alone;                      // its shaft in the eye's frame, as found without the others
    ShaftScores shafts{};             // in the eye's frame
    TipPose pose;                     // agreed upon
    TipPose in_eye;                   // the same in the eye's frame
    std::optional<std::size_t> look;  // index in looks_
    TipGlimpse glimpse{};
    cv::Mat still;
    OfEachSight<cv::Mat> freed;                      // the still
    OfEachSight<std::optional<TipTemplate>> ends{};  // the end on it at `pose`
    std::vector<TipTemplate> opened;                 // the widest of them, opened by kOpenings
  };
  using Hands = std::map<std::size_t, Hand>;

  void FindShafts();
  Angle ShaftOf(const Hand& hand, std::optional<Angle> wound) const;
  OfEachSight<std::optional<TipTemplate>> EndsAt(const OfEachSight<cv::Mat>& freed,
                                                 const TipPose& in_still) const;
  double EndsAlike(std::optional<Angle> wound) const;
  void ScoreShaft(std::size_t index, Hand& hand);
  void TurnShaft(std::size_t index, Hand& hand, Angle in_eye);
  void LookAnewAround(std::size_t index);
  void FindHands();
  void FindLineEnds();
  void LearnLook(std::size_t index, Hand& hand);
  TipPose Agreed(std::size_t index, const Hand& hand) const;
  // The others that were learnt from, nearest in time first.
  std::vector<const Hand*> HandsNear(std::size_t index, std::size_t most) const;

  // Looks at a frame, as if no point were set on it.
  std::vector<TipCandidate> Candidates(std::size_t index, const cv::Mat& small, const cv::Mat& still,
                                       const TipFilter& filter) const;
  // The still of a frame, in each sight.
  OfEachSight<cv::Mat> FreedStill(const cv::Mat& still) const;
  // A candidate's place (in the eye's frame) made exact by the hand-set looks that are most like it. Returns
  // OpenEnd::half_mm, 0 where it is none.
  double MakeExact(std::size_t index, const OfEachSight<cv::Mat>& freed, TipCandidate& candidate) const;
  // The point between the blades of forceps (in the still) near a place found by looks, where the blades are
  // farther apart or nearer than in any of those looks, and how far to either side each lies; none where what
  // is seen is more like a look as it is.
  struct OpenEnd {
    TipPose pose;
    double likeness = 0, half_mm = 0;
  };
  std::optional<OpenEnd> OpenEndNear(const std::vector<const Hand*>& looks, const cv::Mat& freed,
                                     const TipPose& found) const;
  // Both directions from each point set by hand, over the stretches that were not walked over yet.
  void Walk();
  void WalkStretch(std::optional<std::size_t> from, std::optional<std::size_t> to);
  void WalkFrom(std::size_t start, std::optional<std::size_t> goal,
                const std::vector<std::vector<TipPose>>& sure, WalkDirection direction, std::size_t sight);
  TipCandidate CandidateAt(std::size_t index, const TipWalk::Step& step, const cv::Mat& still) const;
  RouteFrame FrameOf(std::size_t index) const;
  TipRegion RegionOf(std::size_t index) const;  // in the eye's frame
  TipRegion InView(std::size_t index, TipRegion in_eye) const;
  double MmAt(std::size_t index) const { return view_.px_per_mm() * view_.ZoomAt(index); }
  std::vector<std::size_t> LooksFor(std::size_t index) const;
  double SecondsToHand(std::size_t index) const;
  std::size_t StretchOf(std::size_t index) const;  // the hand-set frame at which it ends, or size()
  PivotEye Limbus() const;
  bool WithinLimbus(PointPx in_eye) const;
  bool NearWound(const Hand& hand) const;
  std::optional<PointPx> Pivot() const;

  static constexpr std::array kOpenings{-0.31, -0.25, -0.19, -0.125,
                                        0.125, 0.19,  0.25,  0.31};  // mm that each blade moves
  static constexpr double kFoundMm = 0.3;  // a point set by hand was found, or come to, within that
  static constexpr double kSameMm = 0.2;   // places so near are one

  FollowOptions options_;
  EyeView view_;
  TipLooks looks_;
  Hands hand_;
  std::optional<PointPx> pivot_;
  LineEnds line_ends_;
  bool by_ground_ = true;                     // else by looks
  std::map<std::size_t, TipFilter> filters_;  // by stretch
  std::vector<std::vector<TipCandidate>> candidates_;
  std::vector<cv::Mat> stills_;
  std::vector<char> looked_, walked_;  // not vector<bool>: written from several threads
};

}  // namespace afterscope
