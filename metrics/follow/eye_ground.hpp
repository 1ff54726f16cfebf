// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

#include <cstddef>
#include <map>
#include <vector>

namespace afterscope {

// What lies behind the instruments: the eye as most of the pictures of some seconds show it, in its own
// frame. An instrument that moves covers each place in few of them; one that rests for most of that time
// becomes part of the ground. After Finish, const and fit for several threads.
class EyeGround {
 public:
  // seconds: of all frames of the stretch, rising.
  explicit EyeGround(std::vector<double> seconds);

  // The frames whose pictures tell it.
  std::vector<std::size_t> Frames() const;
  // in_eye: the picture of one of them brought into the eye's frame, CV_8UC1; 0 where it shows nothing.
  void Add(std::size_t index, cv::Mat in_eye);
  // Takes the medians of what was added, and forgets the pictures.
  void Finish();
  // The ground at a frame, in the eye's frame, CV_8UC1; 0 where it is not known. Empty before Finish, and
  // where fewer than kLeastPictures were added around the frame.
  cv::Mat At(std::size_t index) const;

  static constexpr std::size_t kLeastPictures = 9;

 private:
  long WindowOf(std::size_t index) const;

  std::vector<double> seconds_;
  std::map<std::size_t, cv::Mat> pictures_;
  std::map<long, cv::Mat> grounds_;
};

// What a picture shows that the ground does not: 128 and the difference, less what other light and an eye
// that is off by a fraction of a pixel explain. Both CV_8UC1 of one size; 128 where the ground is 0.
cv::Mat AgainstGround(const cv::Mat& picture, const cv::Mat& ground);
// How much of that is drawn sharply, 0 to 255: an instrument's edges and lights rather than its shadow.
// CV_8UC1.
cv::Mat SharpDifference(const cv::Mat& against_ground, double px_per_mm);

}  // namespace afterscope
