// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/eye/eye_ellipse.hpp"

#include <opencv2/core.hpp>

#include <vector>

namespace afterscope {

// The colours round an ellipse, unrolled: rays from the centre outwards, in units of the ellipse (1 is its
// line). Kept as running sums, so that the step across any radius with any width costs the same.
class RingView {
 public:
  // colors: CV_32FC3; rays evenly over the turn; radii first, first + step, ... count of them.
  RingView(const cv::Mat& colors, const EllipseMap& map, int rays, double first, double step, int count);

  int rays() const { return rays_; }
  int count() const { return count_; }
  double RadiusAt(int index) const {
    return first_ + step_ * index;
  }  // of the boundary before sample `index`
  double step() const { return step_; }
  // Mean of `width` samples beyond boundary `index` less the mean of as many within. False where that runs
  // off the picture or the view.
  bool StepAt(int ray, int index, int width, cv::Vec3f& out) const;

 private:
  int rays_, count_;
  double first_, step_;
  std::vector<cv::Vec3f> sums_;  // rays x (count + 1)
  std::vector<int> usable_;      // samples of a ray before it leaves the picture
};

enum class RingKind {
  kLimbus,  // sclera lighter than the iris beside it, once the fall of the light is taken out; between them a
            // line that is greyer (bluer) than both; redness may change either way
  kPupil,   // any change of colour
};

// The change of colour across boundary `index` on one ray, as the kind has it. For the limbus: lightness step
// less that of its surroundings; redness step; how much the boundary is bluer than its surroundings. False
// where StepAt is.
inline constexpr float kGreyLine = 0.7F;
bool BoundaryAt(const RingView& view, int ray, int index, int width, RingKind kind, cv::Vec3f& out);
// Without the parts that have the wrong sign.
cv::Vec3f AsPossible(cv::Vec3f boundary, RingKind kind);

// How much of a boundary there is along boundary `index` of the view, 0 to kRingCap: in each sector of the
// turn the mean step, capped; then the mean length of the sums of three neighbours, so that colours must
// agree over a quarter turn and may change round the eye.
inline constexpr float kRingCap = 0.25F;
inline constexpr int kSectors = 12;
double RingStrength(const RingView& view, int index, int width, RingKind kind);

}  // namespace afterscope
