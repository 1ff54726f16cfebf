// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

#include <optional>
#include <vector>

namespace afterscope {

// What the filter sees of a grey picture (CV_8UC1): the gradient with its length squeezed to below 1, and
// lightness against the surroundings, squeezed too; so that neither glints nor the changing light rule.
// CV_32FC1 each.
std::vector<cv::Mat> TipFeatures(const cv::Mat& gray);

// Shape of a filter: its size, the pixel of it that marks the tip, and how much each pixel is expected to
// matter (CV_32FC1, size `patch`, above 0).
struct TipFilterShape {
  cv::Size patch;
  cv::Point tip;
  cv::Mat likely;
  double px_per_mm = 9;
};

// What one turned part of a picture teaches: how its features go together at every distance up to the patch's
// size, and what the patch looks like at the tip, if it is there. Lessons add up.
struct TipLesson {
  std::vector<cv::Mat> together;  // of features i, j (index 3 i + j): (2 height - 1) x (2 width - 1) lags
  std::vector<cv::Mat> at_tip;    // features of the patch at the tip; empty: no tip
  std::vector<cv::Mat> near_tip;  // the same blended over the places about it
  double ending = 0;              // how much more edge runs along the shaft behind the tip than past it
};
TipLesson LessonOf(const cv::Mat& part, std::optional<cv::Point2d> tip, const TipFilterShape& shape);

struct WeightedLesson {
  const TipLesson* lesson;
  double weight;
};

// A linear filter over those features that answers 1 at the tip and 0 elsewhere, as well as can be: ridge
// regression over all places of all lessons, solved by conjugate gradients. Where the edges of a shaft go on
// past the place, less is answered: a shaft ends at its tip, wherever it was learnt.
class TipFilter {
 public:
  TipFilter() = default;
  TipFilter(const std::vector<WeightedLesson>& lessons, const TipFilterShape& shape);

  bool empty() const { return weights_.empty(); }

  // The filter made ready for parts of one size, which must be at least the patch's.
  struct Ready {
    cv::Size part, dft;
    std::vector<cv::Mat> spectra;
  };
  Ready ReadyFor(cv::Size part) const;
  // The answer for every place of the patch within `part`: (cols - patch.width + 1) x (rows - patch.height +
  // 1), about 1 where it looks like the lessons' tips; the tip lies at (x + tip.x, y + tip.y).
  cv::Mat Answer(const cv::Mat& part, const Ready& ready) const;

 private:
  TipFilterShape shape_;
  double ending_ = 0;  // of the lessons' tips
  std::vector<cv::Mat> weights_;
};

}  // namespace afterscope
