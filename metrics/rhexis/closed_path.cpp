// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/closed_path.hpp"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <limits>

namespace afterscope {
namespace {

constexpr float kNoWay = std::numeric_limits<float>::max();

class PathFinder {
 public:
  PathFinder(const cv::Mat& cost, const std::vector<PathBounds>& bounds, int start, double change_cost,
             int most_change)
      : cost_(cost),
        bounds_(bounds),
        start_(start),
        most_change_(most_change),
        sums_(cost.rows + 1, cost.cols, CV_32F),
        came_(cost.rows + 1, cost.cols, CV_32S) {
    for (int d = 0; d <= most_change; ++d) by_change_.push_back(static_cast<float>(change_cost * d * d));
  }

  // Of the paths that begin and end in that column; kNoWay where there is none.
  float CostFrom(int column) {
    sums_.row(0).setTo(kNoWay);
    sums_.at<float>(0, column) = 0;
    for (int step = 1; step <= cost_.rows; ++step) Advance(step, column);
    return sums_.at<float>(cost_.rows, column);
  }

  // Of the start that was tried last.
  std::vector<int> Path(int column) const {
    std::vector<int> path(static_cast<std::size_t>(cost_.rows));
    for (int step = cost_.rows; step > 0; --step) {
      column = came_.at<std::int32_t>(step, column);
      path[static_cast<std::size_t>(RowOf(step - 1))] = column;
    }
    return path;
  }

 private:
  int RowOf(int step) const { return (start_ + step) % cost_.rows; }
  PathBounds BoundsAt(int step, int column) const {
    return step == 0 || step == cost_.rows ? PathBounds{column, column}
                                           : bounds_[static_cast<std::size_t>(RowOf(step))];
  }

  void Advance(int step, int start_column) {
    const PathBounds to = BoundsAt(step, start_column), from = BoundsAt(step - 1, start_column);
    sums_.row(step).setTo(kNoWay);
    for (int column = to.least; column <= to.most; ++column) {
      float best = kNoWay;
      int came = -1;
      for (int d = -most_change_; d <= most_change_; ++d) {
        const int before = column + d;
        if (before < from.least || before > from.most || sums_.at<float>(step - 1, before) == kNoWay)
          continue;
        const float sum =
            sums_.at<float>(step - 1, before) + by_change_[static_cast<std::size_t>(std::abs(d))];
        if (sum < best) best = sum, came = before;
      }
      if (came < 0) continue;
      sums_.at<float>(step, column) = best + cost_.at<float>(RowOf(step), column);
      came_.at<std::int32_t>(step, column) = came;
    }
  }

  const cv::Mat& cost_;
  const std::vector<PathBounds>& bounds_;
  int start_, most_change_;
  cv::Mat sums_, came_;
  std::vector<float> by_change_;
};

bool Fit(const cv::Mat& cost, const std::vector<PathBounds>& bounds, int start) {
  return cost.type() == CV_32F && cost.rows > 1 && bounds.size() == static_cast<std::size_t>(cost.rows) &&
         start >= 0 && start < cost.rows &&
         std::all_of(bounds.begin(), bounds.end(), [&](const PathBounds& b) {
           return b.least >= 0 && b.least <= b.most && b.most < cost.cols;
         });
}

}  // namespace

std::optional<std::vector<int>> CheapestClosedPath(const cv::Mat& cost, const std::vector<PathBounds>& bounds,
                                                   int start, double change_cost, int most_change) {
  if (!Fit(cost, bounds, start)) return std::nullopt;
  PathFinder finder(cost, bounds, start, change_cost, most_change);
  const PathBounds starts = bounds[static_cast<std::size_t>(start)];
  float least = kNoWay;
  std::vector<int> best;
  for (int column = starts.least; column <= starts.most; ++column) {
    const float sum = finder.CostFrom(column);
    if (!(sum < least)) continue;
    least = sum;
    best = finder.Path(column);
  }
  if (best.empty()) return std::nullopt;
  return best;
}

}  // namespace afterscope
