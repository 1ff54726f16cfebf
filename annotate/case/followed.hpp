// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "metrics/eye/eye_motion.hpp"
#include "metrics/eye/find_eye.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What the program found by following the eye and the instruments through the frames. It is derived from
// recordings and hand-set points, made anew at any time, and no part of a review's journal. The eye's places
// are in square pixels of the decoded picture, a tip's in those of the picture itself.

struct EyeAtFrame {
  FrameRef at;
  EyePose pose;  // against the reference frame; trusted from kLeastTrust on
};

// The eye as found on a frame of its own, several times a second.
struct EyeSight {
  FrameRef at;
  FoundEye eye;
  double sharpness = 0;  // EyeSharpness
};

// The eye through a stretch of one recording.
struct FollowedEye {
  int recording = 0;
  std::string input_digest;  // of what it was made from
  HalfOpen<Pts> range;       // that was asked for
  bool complete = false;     // false: stopped after the last of `frames`
  Pts reference;             // the frame that all others are compared with
  FoundEye reference_eye;
  std::vector<EyeAtFrame> frames;  // in order of time
  std::vector<EyeSight> sights;
};

struct FollowedTip {
  FrameRef at;
  std::optional<PointPx> tip;  // none: not seen, by this account
  bool by_hand = false;
  double confidence =
      0;  // 0 to 1: that the tip is within 0.3 mm of there; without a tip, that it can't be seen
};

// One trail through a stretch of one recording.
struct FollowedTrail {
  TrailId trail;
  std::string input_digest;
  int recording = 0;
  HalfOpen<Pts> range;
  double least_confidence = 0;    // a place with less is not believed
  std::vector<FollowedTip> tips;  // one a frame of the range, in order of time
};

struct Followed {
  std::vector<FollowedEye> eyes;      // at most one a recording
  std::vector<FollowedTrail> trails;  // at most one for each trail and recording
};

// The trail with what was followed between its hand-set points: believed places become its points, runs of
// frames without one become gaps ("not visible"). Points set by hand and gaps marked by hand stay.
Trail WithFollowed(const Trail& trail, const FollowedTrail& followed);
// The review with every trail so. Who passes results has asked whether they still hold (see followed_digest).
Review WithFollowed(const Review& review, const Followed& followed);

// The trail that the hand set: without points that are followed.
std::vector<TrailPoint> HandPoints(const Trail& trail);

}  // namespace afterscope
