// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

#include <cstdint>

namespace afterscope {

// Where the samples of a new row (or column) lie in the old one: sample i covers [first + i * step, + step),
// where sample s of the old one covers [s, s + 1). `step` is positive.
struct SampleCells {
  double first = 0;
  double step = 1;
};

// Scales a plane of 8 bits into `into` (of the wanted size): each sample is the mean of the source over its
// cell where cells are larger than samples, else what lies linearly between samples; both are the mean over a
// box as wide as the cell, at least one sample, so that a slow zoom passes from one to the other unseen.
// Positions are exact to fractions of a sample. What a cell covers beyond the source's edges is `beyond`. Not
// more than one grey level off the exact mean. Quick where cells are up to a few samples wide.
void BoxScale(const cv::Mat& source, SampleCells across, SampleCells down, std::uint8_t beyond,
              cv::Mat& into);

}  // namespace afterscope
