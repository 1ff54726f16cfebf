// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/point.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// A tip's position at a time. Whether eye and microscope motion was taken out is the caller's matter.
struct TipSample {
  double seconds = 0;
  PointSq at;
};
// Consecutive samples without a gap, times strictly increasing.
using TipStretch = std::vector<TipSample>;

// A stretch of fewer can't be smoothed and is left out.
constexpr std::size_t kLeastTipPositions = 8;

// Of the low-pass that states which motion a path is made of: half of the power is left at this frequency.
constexpr double kTipPathHalfPowerHz = 4;

// Common practice, no source: a movement of a tip exceeds 2 mm/s, a still tip stays below 0.5 mm/s (as seen).
// Slower than that over this long, and not next to where it is faster.
constexpr double kTipMovementMm = 2, kTipStillMm = 0.5;
constexpr double kTipStillWindow = 0.33, kTipStillMargin = 0.07;  // seconds

// At the ends of a stretch its band is not known, which depends on what came before and after: the largest
// speed is that of the rest. Of a stretch that is too short for it, of its middle.
constexpr double kTipPeakMargin = 0.15;  // seconds

// How far off the eye's own frame is, from which the positions are taken: known at these times (increasing),
// each time off on its own by `sd` along each axis, linear in between.
struct FrameError {
  std::vector<double> seconds;
  double sd = 0;
};

struct TipPathOptions {
  double point_sd = 1.5;  // marking error of a position along each axis, square pixels
  FrameError frame;
  double cutoff_hz =
      kTipPathHalfPowerHz;  // half of the power is left there; lowered to 0.3 x rate if need be
  double movement_speed =
      0;  // a movement exceeds it, square pixels a second; raised to five times the speed's noise
  double still_speed = 0;  // a still tip is not faster; raised to the slowest speed told from noise
  int simulations = 60;    // for the limits
  unsigned seed = 1;
};

// All in square pixels and seconds.
struct TipPath {
  Estimate length;      // within the band, noise removed; a tip that is not told from a still one earns none
  Estimate mean_speed;  // length by the time marked
  Estimate peak_speed;  // kTipPeakMargin and more from the ends of a stretch; not below the mean
  Estimate economy;     // sum of the straight lines of the stretches by the length; 0 for no length
  Estimate area;        // convex hull of all filtered positions
  Estimate movements;   // count
  Estimate still_seconds;
  double seconds = 0;  // marked, over the stretches that could be filtered
  std::optional<Estimate> sparc, log_jerk_speed, log_jerk_motion;  // of the longest stretch
  std::vector<std::vector<PointSq>> filtered;                      // by stretch, at even times
  double rate_hz = 0, cutoff_hz = 0;                               // as used
  double movement_speed = 0, still_speed = 0;                      // as used
  int stretches_left_out = 0;  // too short to be filtered (fewer than 8 positions)
};

// Positions at uneven times are first brought to even ones at the median interval, smoothed (MotionSmoother)
// and brought into the band (WithinBand). Length: of all steps, each less what the noise that is left in it
// adds (LessNoise); none where the tip is nowhere told from a still one (slope over a third of a second
// against its error). Limits, and the bias of the other measures: the whole estimate repeated on simulated
// marks round the path that was found. Empty, with the reason in `why` (if given), where no stretch can be
// measured.
std::optional<TipPath> MeasureTipPath(const std::vector<TipStretch>& stretches, const TipPathOptions& options,
                                      std::string* why);

// Splits samples at times where no sample follows for longer than three median intervals (at least a quarter
// second).
std::vector<TipStretch> SplitAtGaps(const TipStretch& samples);

}  // namespace afterscope
