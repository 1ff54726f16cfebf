// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_patch.hpp"

#include <opencv2/core.hpp>

namespace afterscope {

// How wide a template looks to either side of the shaft, and how its weight falls off there (standard
// deviation).
struct TipTemplateWidth {
  double beside_mm = 0.55;
  double band_mm = 0.28;
};

// An instrument's end as it looked where a person set it, to be laid over another picture to a fraction of a
// pixel. Const after it was made.
class TipTemplate {
 public:
  struct Fit {
    TipPose pose;
    double likeness = 0;  // correlation of the two looks, -1 to 1, weighted towards the band of the shaft
  };

  // picture: CV_8UC1; px_per_mm: of it at the tip; at: pixels a millimetre that are worked with.
  TipTemplate(const cv::Mat& picture, const TipPose& pose, double px_per_mm, double at,
              const TipTemplateWidth& width = {});

  // The pose near `start` (to `most_shift_mm` and ten degrees) with which the picture looks most like the
  // template (Gauss-Newton on place and direction; light and contrast are left free). If that runs off:
  // `start` itself with likeness 0.
  Fit Fitted(const cv::Mat& picture, const TipPose& start, double px_per_mm,
             double most_shift_mm = kUsualShiftMm) const;
  static constexpr double kUsualShiftMm = 0.2;

  // The same end with its two halves moved apart, each by `half_mm` across the shaft, and what lies beside
  // them between: forceps that open, seen where they are nearly closed. Negative: towards each other.
  TipTemplate Opened(double half_mm) const;

  // The picture at a pose as templates see it, to be compared with several; empty where it is flat.
  cv::Mat SampleAt(const cv::Mat& picture, const TipPose& pose, double px_per_mm) const;
  double LikenessTo(const cv::Mat& sample) const;  // as Fit::likeness; 0 where either is flat

 private:
  cv::Mat Sampled(const cv::Mat& picture, const TipPose& pose, double px_per_mm) const;
  // Makes `patch` the template; leaves it empty if that is flat.
  void Take(cv::Mat patch);
  // Brought to weighted mean 0 and standard deviation 1; false if it is flat.
  bool Normalize(cv::Mat& patch) const;

  double at_;
  cv::Size size_;
  cv::Point2d tip_;
  cv::Mat weights_;    // CV_32FC1, sum 1
  cv::Mat template_;   // CV_32FC1, normalized; empty if it was flat
  cv::Mat weighted_;   // the same by its weights
  cv::Mat slopes_[3];  // of the template by shift along, across, and turn
  cv::Matx33d inverse_;
};

}  // namespace afterscope
