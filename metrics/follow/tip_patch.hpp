// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/angle.hpp"
#include "metrics/base/point.hpp"

#include <opencv2/core.hpp>

namespace afterscope {

// An instrument's end on a picture: the tip, and the direction from it along the shaft towards the hand (from
// x towards y). For forceps the tip is the point between the ends of the blades.
struct TipPose {
  PointPx tip;
  Angle shaft;
};

// The shape of the patch that is looked at round a tip, in millimetres of the limbus' plane: the shaft runs
// along +x.
struct TipPatchShape {
  double behind_mm = 2.4;  // along the shaft
  double beyond_mm = 1.2;  // past the tip
  double beside_mm = 0.7;  // to either side

  cv::Size SizeAt(double px_per_mm) const;
  cv::Point TipAt(double px_per_mm) const;  // the pixel of the patch that holds the tip
};

// Part of a picture, turned so that `shaft` points along +x and scaled by `scale` (pixels out for one in):
// pixel `at` of the result shows `origin` of the picture. Linear; what lies outside repeats the edge.
cv::Mat Turned(const cv::Mat& picture, PointPx origin, Angle shaft, double scale, cv::Point2d at,
               cv::Size size);
// Where pixel `q` of such a part lies in the picture.
PointPx FromTurned(PointPx origin, Angle shaft, double scale, cv::Point2d at, cv::Point2d q);
// And back.
cv::Point2d ToTurned(PointPx origin, Angle shaft, double scale, cv::Point2d at, PointPx p);

}  // namespace afterscope
