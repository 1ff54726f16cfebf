// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/edge_sight.hpp"

#include "metrics/series/quantiles.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr int kTogether = 5;                 // directions to either side that are seen together
constexpr double kNone = 0.9, kPlain = 2.6;  // likeness along a path through nothing, and along a plain edge
constexpr double kBlown = 246;               // of 255: nothing is told any more
constexpr double kOtherColour = 4.5;         // usual spreads of colour

double MeanAlong(const cv::Mat& image, const std::vector<int>& path, int row, int together) {
  double sum = 0;
  for (int d = -together; d <= together; ++d) {
    const int at = (row + d + image.rows) % image.rows;
    sum += image.at<float>(at, path[static_cast<std::size_t>(at)]);
  }
  return sum / (2 * together + 1);
}

double LargestAbout(const cv::Mat& image, int row, int column, int reach) {
  double most = 0;
  for (int c = std::max(0, column - reach); c <= std::min(image.cols - 1, column + reach); ++c)
    most = std::max(most, static_cast<double>(image.at<float>(row, c)));
  return most;
}

// How far the colour on the path lies from what it is round the turn, in its usual spread.
std::vector<double> OtherColour(const cv::Mat& redness, const std::vector<int>& path) {
  std::vector<double> values;
  values.reserve(static_cast<std::size_t>(redness.rows));
  for (int row = 0; row < redness.rows; ++row) values.push_back(MeanAlong(redness, path, row, 1));
  const auto median = Quantile(values, 0.5);
  const auto spread = MedianAbsoluteDeviation(values);
  if (!median.ok() || !spread.ok()) return std::vector<double>(values.size(), 0);
  for (double& v : values) v = std::abs(v - *median) / std::max(*spread, 0.02);
  return values;
}

}  // namespace

std::vector<SeenEdge> SeenAlong(const PolarEdges& edges, const cv::Mat& like, const std::vector<int>& path,
                                const std::vector<double>& last) {
  const PolarGrid& grid = edges.grid;
  const std::vector<double> colour = OtherColour(edges.redness, path);
  const int near = std::max(2, static_cast<int>(0.02 * grid.RadiusAt(0.5 * grid.count) / grid.step));
  std::vector<SeenEdge> out;
  for (int row = 0; row < grid.directions; ++row) {
    const int column = path[static_cast<std::size_t>(row)];
    SeenEdge edge;
    edge.seen = std::clamp((MeanAlong(like, path, row, kTogether) - kNone) / (kPlain - kNone), 0.0, 1.0);
    if (edge.seen >= kLeastSight) edge.sight = EdgeSight::kSeen;
    if (!last.empty() && grid.RadiusAt(column) > last[static_cast<std::size_t>(row)] - near * grid.step)
      edge = {0, EdgeSight::kIris};
    else if (LargestAbout(edges.lightness, row, column, near) > kBlown)
      edge = {0, EdgeSight::kGlint};
    else if (colour[static_cast<std::size_t>(row)] > kOtherColour)
      edge = {0, EdgeSight::kCovered};
    out.push_back(edge);
  }
  return out;
}

}  // namespace afterscope
