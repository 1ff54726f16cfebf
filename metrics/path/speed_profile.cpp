// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/speed_profile.hpp"

#include <Eigen/Dense>
#include <boost/math/special_functions/bessel.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace afterscope {
namespace {

// exp(-x) I0(x).
double ScaledBessel0(double x) {
  if (x < 600) return boost::math::cyl_bessel_i(0, x) * std::exp(-x);
  return (1 + 1 / (8 * x) + 9 / (128 * x * x)) / std::sqrt(2 * 3.14159265358979323846 * x);
}

// Density of the measured length m of a step of length v.
double RiceDensity(double m, double v, double sd) {
  const double z = (m - v) / sd;
  return m / (sd * sd) * std::exp(-z * z / 2) * ScaledBessel0(m * v / (sd * sd));
}

// Even up to 6 sd, then growing evenly in proportion up to `top`.
std::vector<double> Grid(double sd, double top, int even, int growing) {
  const double knee = std::min(6 * sd, top);
  std::vector<double> out;
  for (int i = 0; i <= even; ++i) out.push_back(knee * i / even);
  if (top > knee)
    for (int i = 1; i <= growing; ++i)
      out.push_back(knee * std::pow(top / knee, static_cast<double>(i) / growing));
  return out;
}

struct Bins {
  Eigen::VectorXd share;
  std::vector<double> middle, width;
};

Bins Histogram(const std::vector<double>& measured, const std::vector<double>& edges) {
  Bins out{Eigen::VectorXd::Zero(static_cast<Eigen::Index>(edges.size() - 1)), {}, {}};
  for (std::size_t i = 0; i + 1 < edges.size(); ++i) {
    out.middle.push_back((edges[i] + edges[i + 1]) / 2);
    out.width.push_back(edges[i + 1] - edges[i]);
  }
  for (const double m : measured) {
    const auto bin = std::upper_bound(edges.begin(), edges.end(), m) - edges.begin() - 1;
    const auto last = static_cast<std::ptrdiff_t>(edges.size()) - 2;
    out.share(static_cast<Eigen::Index>(std::clamp<std::ptrdiff_t>(bin, 0, last))) +=
        1.0 / static_cast<double>(measured.size());
  }
  return out;
}

}  // namespace

int CountMovements(const std::vector<double>& speed, double threshold) {
  return CountMovements(speed, threshold, threshold);
}

int CountMovements(const std::vector<double>& speed, double threshold, double ends_at) {
  int count = 0;
  bool moving = false;
  for (const double v : speed) {
    if (!moving && v > threshold) {
      ++count;
      moving = true;
    } else if (moving && v <= ends_at) {
      moving = false;
    }
  }
  return count;
}

int CountPeaks(const std::vector<double>& speed, double threshold) {
  int count = 0;
  for (std::size_t i = 1; i + 1 < speed.size(); ++i)
    count += speed[i] >= threshold && speed[i] > speed[i - 1] && speed[i] >= speed[i + 1];
  return count;
}

double StillShare(const std::vector<double>& speed, double threshold) {
  if (speed.empty()) return 1;
  const auto still = std::count_if(speed.begin(), speed.end(), [&](double v) { return v <= threshold; });
  return static_cast<double>(still) / static_cast<double>(speed.size());
}

double NoiseFreeLength(const std::vector<double>& measured, double sd) {
  if (measured.empty()) return 0;
  const double sum = std::accumulate(measured.begin(), measured.end(), 0.0);
  const double top = *std::max_element(measured.begin(), measured.end()) * 1.001;
  if (!(sd > 0) || !(top > 0)) return sum;
  if (sd < 1e-3 * sum / static_cast<double>(measured.size())) return sum;  // too little noise to matter
  const Bins bins = Histogram(measured, Grid(sd, top, 60, 60));
  const std::vector<double> lengths = Grid(sd, top, 24, 25);
  Eigen::MatrixXd density(bins.share.size(), static_cast<Eigen::Index>(lengths.size()));
  for (Eigen::Index i = 0; i < density.rows(); ++i)
    for (Eigen::Index k = 0; k < density.cols(); ++k)
      density(i, k) =
          RiceDensity(bins.middle[static_cast<std::size_t>(i)], lengths[static_cast<std::size_t>(k)], sd) *
              bins.width[static_cast<std::size_t>(i)] +
          1e-300;
  Eigen::VectorXd weight =
      Eigen::VectorXd::Constant(density.cols(), 1.0 / static_cast<double>(density.cols()));
  for (int round = 0; round < 300; ++round) {
    const Eigen::VectorXd ratio = bins.share.cwiseQuotient(density * weight);
    weight = weight.cwiseProduct(density.transpose() * ratio);
    weight /= weight.sum();
  }
  double mean = 0;
  for (Eigen::Index k = 0; k < weight.size(); ++k) mean += weight(k) * lengths[static_cast<std::size_t>(k)];
  return mean * static_cast<double>(measured.size());
}

}  // namespace afterscope
