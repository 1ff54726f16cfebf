// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/point.hpp"
#include "metrics/base/time.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// How far the outermost marks of a track may lie within the stretch it is asked for, in seconds.
inline constexpr double kOutlineTrackReach = 1.0;

// Where the eye was in the picture over a stretch of time, by linear interpolation between the instants at
// which its middle is known. Shift alone: turns and zoom are not in it.
class OutlineTrack {
 public:
  // Two instants or more, growing.
  OutlineTrack(std::vector<double> seconds, std::vector<PointSq> centres)
      : seconds_(std::move(seconds)), centres_(std::move(centres)) {}
  // From the middles of the limbus outlines (where there are fewer than two: the pupil's) of one recording;
  // seconds since its first frame. Empty unless outlines on two frames or more surround [from, to] to within
  // kOutlineTrackReach.
  static std::optional<OutlineTrack> Of(const CaseRecord& record, const Review& review, int recording,
                                        double from, double to);

  // Before the first and after the last instant: as there.
  PointSq At(double seconds) const;
  const std::vector<double>& instants() const { return seconds_; }

 private:
  std::vector<double> seconds_;
  std::vector<PointSq> centres_;
};

}  // namespace afterscope
