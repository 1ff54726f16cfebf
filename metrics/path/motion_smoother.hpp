// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <Eigen/Core>

#include <vector>

namespace afterscope {

// Positions at even times, square pixels.
using Track = std::vector<PointSq>;

// A track taken as a smooth motion that was marked with normal errors: along each axis the jerk is white
// noise, stronger where the tip works and weaker where it rests. Its strength is the most likely one for the
// track, first the same everywhere, then following the energy of the jerk found within 0.2 s. The most
// plausible motion is a smoothing spline of fifth order (Wahba, Spline Models for Observational Data, 1990,
// from memory), found by a Kalman filter and the backward pass of Rauch, Tung and Striebel (AIAA J
// 1965;3:1445, from memory). Where a strong low pass that is the same everywhere leaves noise in a resting
// tip, this takes it away, and where the tip turns quickly it does not cut corners.
class MotionSmoother {
 public:
  // Asks for 4 positions at least, interval > 0 (seconds) and sd > 0 (of a position along each axis).
  static MotionSmoother Fit(const Track& marked, double interval, double sd);

  // Of as many positions as it was fitted to. Linear in them: what noise becomes does not depend on the
  // motion.
  Track Smooth(const Track& marked) const;

 private:
  using Matrix = Eigen::Matrix3d;
  using States = std::vector<Eigen::Matrix<double, 3, 2>>;  // position, speed, acceleration of x and y

  MotionSmoother(double interval, double sd) : interval_(interval), sd_(sd) {}
  void SetStrength(const std::vector<double>& jerk);  // one for each interval
  States Run(const Track& marked) const;
  double LogLikelihood(const Track& marked) const;
  States Forward(const Track& marked, States& predicted) const;
  Matrix Transition() const;
  // The strengths, all multiplied by what makes the track most likely among exp(from), exp(from + 1) ...
  std::vector<double> MostLikely(const Track& marked, const std::vector<double>& shape, int from, int to);
  // How the jerk's energy is spread over the track, smoothed.
  std::vector<double> EnergyOver(const Track& marked) const;

  double interval_;
  double sd_;
  std::vector<Eigen::Vector3d> gain_;
  std::vector<double> innovation_;  // variance of the difference from the predicted position
  std::vector<Matrix> back_;        // gain of the backward pass
};

}  // namespace afterscope
