// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/motion_smoother.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <limits>

namespace afterscope {
namespace {

using Matrix = Eigen::Matrix3d;

constexpr double kEnergySeconds = 0.2;  // half-width of the window over which the jerk's energy is averaged
constexpr double kLeastEnergy = 0.002;  // share of the mean that a resting tip keeps
constexpr int kFreeInnovations = 3;     // the first positions only tell where the motion starts
constexpr int kWeakest = -6, kStrongest = 26;  // logarithms of px^2/s^5

// Of the state's change over an interval, for jerk of strength 1.
Matrix Disturbance(double t) {
  Matrix q;
  const double t2 = t * t, t3 = t2 * t;
  q << t3 * t2 / 20, t2 * t2 / 8, t3 / 6, t2 * t2 / 8, t3 / 3, t2 / 2, t3 / 6, t2 / 2, t;
  return q;
}

Eigen::RowVector2d Row(PointSq p) { return {p.x, p.y}; }

}  // namespace

MotionSmoother::Matrix MotionSmoother::Transition() const {
  Matrix f = Matrix::Identity();
  f(0, 1) = f(1, 2) = interval_;
  f(0, 2) = interval_ * interval_ / 2;
  return f;
}

void MotionSmoother::SetStrength(const std::vector<double>& jerk) {
  const std::size_t n = jerk.size() + 1;
  const Matrix f = Transition(), q = Disturbance(interval_);
  gain_.resize(n);
  innovation_.resize(n);
  back_.resize(n);
  // Where the motion starts and how fast is not known: spreads far beyond any picture and any hand.
  Matrix predicted = Eigen::Vector3d(1e6, 1e8, 1e10).asDiagonal();
  for (std::size_t i = 0; i < n; ++i) {
    innovation_[i] = predicted(0, 0) + sd_ * sd_;
    gain_[i] = predicted.col(0) / innovation_[i];
    const Matrix spread = predicted - gain_[i] * predicted.row(0);
    if (i + 1 == n) break;
    predicted = f * spread * f.transpose() + jerk[i] * q;
    back_[i] = spread * f.transpose() * predicted.inverse();
  }
}

MotionSmoother::States MotionSmoother::Forward(const Track& marked, States& predicted) const {
  const Matrix f = Transition();
  States states(marked.size());
  predicted.resize(marked.size());
  predicted[0].setZero();
  predicted[0].row(0) = Row(marked[0]);
  for (std::size_t i = 0; i < marked.size(); ++i) {
    if (i > 0) predicted[i] = f * states[i - 1];
    states[i] = predicted[i] + gain_[i] * (Row(marked[i]) - predicted[i].row(0));
  }
  return states;
}

double MotionSmoother::LogLikelihood(const Track& marked) const {
  States predicted;
  Forward(marked, predicted);
  double out = 0;
  for (std::size_t i = kFreeInnovations; i < marked.size(); ++i) {
    const double off = (Row(marked[i]) - predicted[i].row(0)).squaredNorm();
    out -= std::log(innovation_[i]) + off / innovation_[i] / 2;
  }
  return out;
}

MotionSmoother::States MotionSmoother::Run(const Track& marked) const {
  States predicted, states = Forward(marked, predicted);
  for (std::size_t i = marked.size() - 1; i-- > 0;)
    states[i] += back_[i] * (states[i + 1] - predicted[i + 1]);
  return states;
}

Track MotionSmoother::Smooth(const Track& marked) const {
  Track out;
  out.reserve(marked.size());
  for (const auto& state : Run(marked)) out.push_back({state(0, 0), state(0, 1)});
  return out;
}

std::vector<double> MotionSmoother::MostLikely(const Track& marked, const std::vector<double>& shape,
                                               int from, int to) {
  std::vector<double> best = shape;
  double most = -std::numeric_limits<double>::infinity();
  for (int k = from; k <= to; ++k) {
    std::vector<double> jerk = shape;
    for (double& j : jerk) j *= std::exp(k);
    SetStrength(jerk);
    if (const double likelihood = LogLikelihood(marked); likelihood > most) {
      most = likelihood;
      best = std::move(jerk);
    }
  }
  SetStrength(best);
  return best;
}

std::vector<double> MotionSmoother::EnergyOver(const Track& marked) const {
  const States states = Run(marked);
  std::vector<double> energy;
  double mean = 0;
  for (std::size_t i = 0; i + 1 < states.size(); ++i) {
    energy.push_back((states[i + 1] - states[i]).row(2).squaredNorm() / interval_ / 2);
    mean += energy.back() / static_cast<double>(states.size() - 1);
  }
  const auto n = static_cast<long>(energy.size()), half = std::lround(kEnergySeconds / interval_);
  std::vector<double> out;
  for (long i = 0; i < n; ++i) {
    double sum = 0, weights = 0;
    for (long k = std::max(0L, i - half); k <= std::min(n - 1, i + half); ++k) {
      const double weight = 1 - static_cast<double>(std::abs(k - i)) / static_cast<double>(half + 1);
      sum += weight * energy[static_cast<std::size_t>(k)];
      weights += weight;
    }
    out.push_back(std::max({sum / weights, kLeastEnergy * mean, 1e-9}));
  }
  return out;
}

MotionSmoother MotionSmoother::Fit(const Track& marked, double interval, double sd) {
  MotionSmoother out(interval, sd);
  out.MostLikely(marked, std::vector<double>(marked.size() - 1, 1.0), kWeakest, kStrongest);
  for (int round = 0; round < 2; ++round) out.MostLikely(marked, out.EnergyOver(marked), -3, 4);
  return out;
}

}  // namespace afterscope
