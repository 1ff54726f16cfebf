// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/edge_likeness.hpp"

#include "metrics/series/quantiles.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr int kBesideClick = 4;      // directions to either side of a click that show the same edge
constexpr double kChance = 0.35;     // a mean change that chance gives
constexpr double kAlike = 35;        // directions (SD) over which an edge looks alike ...
constexpr double kEverywhere = 0.5;  // ... and the share of what it looks like all round

// The changes at places of the edge, with the weight of each place.
struct Example {
  int direction = 0;
  std::vector<double> changes;
  double weight = 0;
};

int Apart(int a, int b, int directions) {
  const int d = std::abs(a - b) % directions;
  return std::min(d, directions - d);
}

// Of their changes, each with its weight times that of its direction.
template <typename WeightOf>
cv::Mat MeanOf(const std::vector<Example>& examples, int kinds, WeightOf weight_of) {
  cv::Mat mean = cv::Mat::zeros(1, kinds, CV_32F);
  double weights = 1e-9;
  for (const Example& e : examples) {
    const double weight = e.weight * weight_of(e.direction);
    for (int k = 0; k < kinds; ++k)
      mean.at<float>(k) += static_cast<float>(weight * e.changes[static_cast<std::size_t>(k)]);
    weights += weight;
  }
  return mean / weights;
}

// Without what chance gives, of length one.
void Settle(cv::Mat weights, double chance) {
  for (int k = 0; k < weights.cols; ++k) {
    float& w = weights.at<float>(k);
    w = std::copysign(std::max(0.0F, std::abs(w) - static_cast<float>(chance)), w);
  }
  const double length = cv::norm(weights);
  if (length > 0) weights /= length;
}

EdgeLikeness FromExamples(const std::vector<Example>& examples, int kinds, int directions, double chance) {
  EdgeLikeness out{cv::Mat::zeros(directions, kinds, CV_32F)};
  const cv::Mat everywhere = MeanOf(examples, kinds, [](int) { return 1.0; });
  for (int direction = 0; direction < directions; ++direction) {
    cv::Mat row = out.weights.row(direction);
    const cv::Mat near = MeanOf(examples, kinds, [&](int other) {
      const double u = Apart(other, direction, directions) / kAlike;
      return std::exp(-0.5 * u * u);
    });
    row += kEverywhere * everywhere + (1 - kEverywhere) * near;
    Settle(row, chance);
  }
  return out;
}

std::vector<double> ChangesAt(const PolarEdges& edges, int row, int column) {
  std::vector<double> out;
  for (const cv::Mat& change : edges.changes) out.push_back(change.at<float>(row, column));
  return out;
}

// Of the places about a click, those that change most, the nearer the more.
Example ExampleAt(const PolarEdges& edges, const EdgePlace& click, double sd) {
  Example out{click.direction, std::vector<double>(edges.changes.size(), 0), 1};
  double weights = 1e-9;
  for (int beside = -kBesideClick; beside <= kBesideClick; ++beside) {
    const int row = (click.direction + beside + edges.grid.directions) % edges.grid.directions;
    for (int column = static_cast<int>(click.column - 3 * sd); column <= click.column + 3 * sd; ++column) {
      if (column < 0 || column >= edges.grid.count) continue;
      const std::vector<double> changes = ChangesAt(edges, row, column);
      double energy = 0;
      for (const double c : changes) energy += c * c / static_cast<double>(changes.size());
      const double u = (column - click.column) / std::max(sd, 0.5);
      const double weight = std::exp(-0.5 * u * u) * energy * energy;
      for (std::size_t k = 0; k < changes.size(); ++k) out.changes[k] += weight * changes[k];
      weights += weight;
    }
  }
  for (double& c : out.changes) c /= weights;
  return out;
}

}  // namespace

EdgeLikeness LearnAtClicks(const PolarEdges& edges, const std::vector<EdgePlace>& clicks, double sd) {
  std::vector<Example> examples;
  examples.reserve(clicks.size());
  for (const EdgePlace& click : clicks) examples.push_back(ExampleAt(edges, click, sd));
  return FromExamples(examples, static_cast<int>(edges.changes.size()), edges.grid.directions,
                      kChance / std::sqrt(static_cast<double>(clicks.size()) / 4));
}

EdgeLikeness LearnAlong(const PolarEdges& edges, const std::vector<int>& path, const cv::Mat& like) {
  std::vector<Example> examples;
  for (int row = 0; row < edges.grid.directions; ++row) {
    const int column = path[static_cast<std::size_t>(row)];
    examples.push_back({row, ChangesAt(edges, row, column), like.at<float>(row, column)});
  }
  return FromExamples(examples, static_cast<int>(edges.changes.size()), edges.grid.directions, kChance / 2);
}

cv::Mat LikenessOf(const PolarEdges& edges, const EdgeLikeness& edge) {
  cv::Mat sum(edges.grid.directions, edges.grid.count, CV_32F, cv::Scalar(0));
  for (int row = 0; row < sum.rows; ++row) {
    cv::Mat here = sum.row(row);
    for (std::size_t k = 0; k < edges.changes.size(); ++k)
      here += edge.weights.at<float>(row, static_cast<int>(k)) * edges.changes[k].row(row);
  }
  std::vector<double> sizes;
  for (int row = 0; row < sum.rows; row += 3)
    for (int column = 0; column < sum.cols; column += 2)
      sizes.push_back(std::abs(sum.at<float>(row, column)));
  const auto usual = Quantile(sizes, 0.5);
  if (!usual.ok() || !(*usual > 0)) return cv::Mat::zeros(sum.size(), CV_32F);
  sum /= 1.4826 * *usual;
  return cv::min(cv::max(sum, 0.0), kMostLike);
}

}  // namespace afterscope
