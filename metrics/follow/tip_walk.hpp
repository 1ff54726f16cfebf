// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_patch.hpp"
#include "metrics/follow/tip_sight.hpp"

#include <opencv2/core.hpp>

#include <optional>
#include <vector>

namespace afterscope {

// Follows an instrument's end from one picture to the next, from a known pose on: what it looked like there
// and on the picture before is searched for where its motion says. Pictures and poses are of the eye's frame
// (CV_8UC1, all of one size and scale), so that what the eye does is out of it.
class TipWalk {
 public:
  struct Step {
    TipPose pose;
    double likeness = 0;   // to the end as it was a picture ago, the least of the last few: 0 to 1
    bool unbroken = true;  // never lost on the way from the start
  };

  TipWalk(const cv::Mat& picture, const TipPose& start, double px_per_mm, const TipSight& sight);

  // On to the next picture, so many seconds away (positive, whatever the direction). sure: places at which
  // the picture itself shows an end clearly, the clearest first: the walk goes by one that it comes to, and
  // begins again at the first when it was lost. None: it is lost on this picture. An empty picture breaks it.
  std::optional<Step> Next(const cv::Mat& still, double seconds, const std::vector<TipPose>& sure);

 private:
  cv::Mat Freed(const cv::Mat& picture) const { return FreedOfLight(picture, sight_, px_per_mm_); }
  cv::Mat PatchOf(const cv::Mat& freed, const TipPose& pose, int around) const;
  TipPose Expected(double seconds) const;
  std::optional<TipPose> Searched(const cv::Mat& picture, const TipPose& expected, double reach_mm) const;
  std::optional<Step> Arrive(const cv::Mat& picture, TipPose pose, double likeness);
  std::optional<Step> Lose(const cv::Mat& picture, const std::vector<TipPose>& sure);

  double px_per_mm_;
  TipSight sight_;
  TipTemplate first_, latest_;
  cv::Mat first_patch_, latest_patch_;
  TipPose pose_;
  OffsetPx speed_;    // pixels a second
  double since_ = 0;  // seconds since it was seen last
  int lost_ = 0;      // pictures since then
  std::vector<double> likenesses_;
  bool unbroken_ = true;
};

}  // namespace afterscope
