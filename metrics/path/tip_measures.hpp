// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/path/motion_smoother.hpp"
#include "metrics/path/tip_path.hpp"

#include <optional>
#include <random>
#include <vector>

namespace afterscope {

// What is read from the tracks of a trail, square pixels and seconds.
struct TipMeasures {
  double length = 0, seconds = 0, peak = 0, area = 0, movements = 0, still = 0;
  Estimate straight;       // from the first to the last position, summed over the tracks
  double lengthening = 0;  // that was taken off the length
  double resting = 0;  // what the steps hold in which the tip is not told from a still one; a third counts
  std::optional<double> sparc, log_jerk_speed, log_jerk_motion;  // of the longest track
};

// Measures the tracks of one trail, at even times, and what noise does to each measure. What noise becomes in
// smoothing is found from tracks of noise alone, for every step.
class TipMeter {
 public:
  // `starts`: seconds of the tracks' first positions. Asks for tracks of 4 positions at least.
  TipMeter(const std::vector<Track>& marked, const std::vector<double>& starts, double interval,
           const TipPathOptions& options);

  std::vector<Track> Smoothed(const std::vector<Track>& marked) const;
  // The most plausible motion: smoothed, and at rest where it is not told from a still one.
  std::vector<Track> Found(const std::vector<Track>& marked) const;
  std::vector<Track> InBand(const std::vector<Track>& motion) const;
  // Of marked tracks, freed of noise as well as can be.
  TipMeasures Measure(const std::vector<Track>& marked) const;
  // Of a motion that is known without noise.
  TipMeasures MeasureExactly(const std::vector<Track>& motion) const;
  // That motion as it might be marked.
  std::vector<Track> MarkedAgain(const std::vector<Track>& motion, std::mt19937_64& random) const;

  double rate() const { return rate_; }
  double cutoff() const { return cutoff_; }
  double movement_speed() const { return movement_speed_; }
  double still_speed() const { return still_speed_; }

 private:
  struct Noise {
    std::vector<double> step;  // standard deviation of each step along each axis
    double ends = 0;           // of the straight line from the first to the last position
  };
  Track DrawNoise(std::size_t track, std::mt19937_64& random) const;
  Noise NoiseOf(std::size_t track) const;
  // The steps (one fewer than positions) in which the tip is told from a still one.
  std::vector<std::vector<bool>> Moving(const std::vector<Track>& tracks, double slope_sd) const;
  TipMeasures MeasureBand(const std::vector<Track>& band, const std::vector<Noise>& noise,
                          const std::vector<std::vector<bool>>& moving) const;
  void AddStill(const std::vector<Track>& tracks, double slope_sd, TipMeasures& out) const;

  TipPathOptions options_;
  std::vector<double> starts_;
  std::vector<std::size_t> sizes_;
  double rate_ = 0, cutoff_ = 0;
  double movement_speed_ = 0, still_speed_ = 0;
  int half_window_ = 0;
  double slope_sd_ = 0;                    // of the slope over the window, a sample
  std::vector<MotionSmoother> smoothers_;  // one a track; none without noise
  std::vector<Noise> noise_, no_noise_;
};

}  // namespace afterscope
