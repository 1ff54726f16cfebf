// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/tip_measures.hpp"

#include "metrics/geometry/polygon.hpp"
#include "metrics/path/band.hpp"
#include "metrics/path/smoothness.hpp"
#include "metrics/path/speed_profile.hpp"
#include "metrics/path/vector_length.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kMovingScore = 3.5;  // slope by its standard deviation, in the plane: 0.2 % of a still tip's
constexpr double kPathScore = 3.0;  // the same for what counts as path: a rest next to a movement earns none
constexpr double kPathMargin = 0.03;  // seconds round each moving stretch
constexpr int kNoiseDraws = 24;

// Least-squares slope over the window round each sample, a sample; ends repeat the outermost position.
std::vector<double> Slopes(const Track& track, int half) {
  const auto n = static_cast<long>(track.size());
  std::vector<double> out;
  for (long i = 0; i < n; ++i) {
    OffsetSq sum;
    double squares = 0;
    for (long k = -half; k <= half; ++k) {
      const PointSq p = track[static_cast<std::size_t>(std::clamp<long>(i + k, 0, n - 1))];
      sum = sum + static_cast<double>(k) * (p - track[static_cast<std::size_t>(i)]);
      squares += static_cast<double>(k * k);
    }
    out.push_back(sum.Length() / squares);
  }
  return out;
}

// Steps (one fewer than samples) in which the tip moves faster than `slope` a sample, with a margin.
std::vector<bool> MovingSteps(const std::vector<double>& slopes, double slope, int margin) {
  const auto n = static_cast<long>(slopes.size());
  std::vector<bool> out(static_cast<std::size_t>(n - 1), false);
  for (long i = 0; i < n; ++i) {
    if (slopes[static_cast<std::size_t>(i)] <= slope) continue;
    for (long k = std::max<long>(0, i - margin - 1); k <= std::min(n - 2, i + margin); ++k)
      out[static_cast<std::size_t>(k)] = true;
  }
  return out;
}

// Seconds in which the tip is not faster than `slope` a sample, less kTipStillMargin on either side of where
// it is: the instants at which it passes that speed lie between samples.
double StillSeconds(const std::vector<double>& slopes, double slope, double rate) {
  const double margin = kTipStillMargin * rate, last = static_cast<double>(slopes.size() - 1);
  double still = 0, free_from = 0;  // nothing before counts any more
  for (std::size_t i = 0; i < slopes.size();) {
    if (slopes[i] <= slope) {
      ++i;
      continue;
    }
    const auto crossing = [&](std::size_t below, std::size_t above) {
      const double share = (slope - slopes[below]) / (slopes[above] - slopes[below]);
      return static_cast<double>(below) + share * (static_cast<double>(above) - static_cast<double>(below));
    };
    const double from = i == 0 ? 0 : crossing(i - 1, i);
    while (i < slopes.size() && slopes[i] > slope) ++i;
    const double to = i == slopes.size() ? last : crossing(i, i - 1);
    still += std::max(0.0, from - margin - free_from);
    free_from = std::max(free_from, to + margin);
  }
  return (still + std::max(0.0, last - free_from)) / rate;
}

std::vector<double> StepLengths(const Track& track) {
  std::vector<double> out;
  for (std::size_t i = 0; i + 1 < track.size(); ++i) out.push_back(Distance(track[i], track[i + 1]));
  return out;
}

void AddSmoothness(const Track& band, double rate, TipMeasures& out) {
  std::vector<double> speed = StepLengths(band);
  for (double& v : speed) v *= rate;
  out.sparc = SpectralArcLength(speed, rate);
  out.log_jerk_speed = LogJerkOfSpeed(speed, rate);
  out.log_jerk_motion = LogJerkOfMotion(band, rate);
}

// Errors of different tracks are independent.
void AddLength(const Estimate& one, Estimate& sum) {
  const double below = std::hypot(sum.value - sum.low, one.value - one.low),
               above = std::hypot(sum.high - sum.value, one.high - one.value);
  sum.value += one.value;
  sum.low = std::max(0.0, sum.value - below);
  sum.high = sum.value + above;
}

// kTipPeakMargin and more from either end, between positions interpolated; by differences that are exact for
// motion of the fourth degree: the mean over a whole step is less than the largest speed.
double PeakSpeed(const Track& band, double rate) {
  const auto speed = [&](std::size_t i) {
    return (8 * (band[i + 1] - band[i - 1]) - (band[i + 2] - band[i - 2])).Length() / 12 * rate;
  };
  const double last = static_cast<double>(band.size() - 1);
  const double first = std::clamp(kTipPeakMargin * rate, 2.0, std::max(2.0, last / 2));
  const auto between = [&](double at) {
    const double below = std::clamp(std::floor(at), 2.0, last - 2), above = std::min(below + 1, last - 2);
    const double low = speed(static_cast<std::size_t>(below));
    return low + (at - below) * (speed(static_cast<std::size_t>(above)) - low);
  };
  double most = std::max(between(first), between(last - first));
  for (double i = std::ceil(first); i <= last - first; ++i)
    most = std::max(most, speed(static_cast<std::size_t>(i)));
  return most;
}

double MeanSquare(OffsetSq d) { return Dot(d, d) / 2; }

}  // namespace

TipMeter::TipMeter(const std::vector<Track>& marked, const std::vector<double>& starts, double interval,
                   const TipPathOptions& options)
    : options_(options),
      starts_(starts),
      rate_(1 / interval),
      cutoff_(std::min(options.cutoff_hz, 0.3 * rate_)),
      half_window_(std::max(2, static_cast<int>(std::lround((kTipStillWindow * rate_ - 1) / 2)))) {
  const double h = half_window_;
  slope_sd_ = options.point_sd / std::sqrt(h * (h + 1) * (2 * h + 1) / 3);
  double squares = 0, steps = 0;
  for (std::size_t i = 0; i < marked.size(); ++i) {
    sizes_.push_back(marked[i].size());
    no_noise_.push_back({std::vector<double>(marked[i].size() - 1, 0.0), 0});
    if (options.point_sd > 0)
      smoothers_.push_back(MotionSmoother::Fit(marked[i], interval, options.point_sd));
    noise_.push_back(options.point_sd > 0 ? NoiseOf(i) : no_noise_.back());
    for (const double sd : noise_.back().step) squares += sd * sd;
    steps += static_cast<double>(noise_.back().step.size());
  }
  movement_speed_ = std::max(options.movement_speed, 5 * std::sqrt(squares / steps) * rate_);
  still_speed_ = std::max(options.still_speed, kMovingScore * slope_sd_ * rate_);
}

// Of the tip's own marks and of the eye's, which are shared by all positions between two of them.
Track TipMeter::DrawNoise(std::size_t track, std::mt19937_64& random) const {
  std::normal_distribution<double> normal;
  const auto draw = [&](double sd) {
    const double x = sd * normal(random);
    return OffsetSq{x, sd * normal(random)};
  };
  std::vector<OffsetSq> frame;
  const std::vector<double>& knots = options_.frame.seconds;
  for (std::size_t i = 0; i < knots.size(); ++i) frame.push_back(draw(options_.frame.sd));
  Track out;
  std::size_t k = 0;
  for (std::size_t i = 0; i < sizes_[track]; ++i) {
    OffsetSq off = draw(options_.point_sd);
    if (knots.size() >= 2) {
      const double seconds = starts_[track] + static_cast<double>(i) / rate_;
      while (k + 2 < knots.size() && knots[k + 1] <= seconds) ++k;
      const double share = std::clamp((seconds - knots[k]) / (knots[k + 1] - knots[k]), 0.0, 1.0);
      off = off - ((1 - share) * frame[k] + share * frame[k + 1]);
    }
    out.push_back(PointSq{} + off);
  }
  return out;
}

TipMeter::Noise TipMeter::NoiseOf(std::size_t track) const {
  std::mt19937_64 random(options_.seed + 31u * static_cast<unsigned>(track));
  Noise out{std::vector<double>(sizes_[track] - 1, 0.0), 0};
  for (int draw = 0; draw < kNoiseDraws; ++draw) {
    const Track noise = WithinBand(smoothers_[track].Smooth(DrawNoise(track, random)), cutoff_, rate_);
    for (std::size_t i = 0; i + 1 < noise.size(); ++i)
      out.step[i] += MeanSquare(noise[i + 1] - noise[i]) / kNoiseDraws;
    out.ends += MeanSquare(noise.back() - noise.front()) / kNoiseDraws;
  }
  for (double& v : out.step) v = std::sqrt(v);
  out.ends = std::sqrt(out.ends);
  return out;
}

std::vector<Track> TipMeter::Smoothed(const std::vector<Track>& marked) const {
  if (smoothers_.empty()) return marked;
  std::vector<Track> out;
  for (std::size_t i = 0; i < marked.size(); ++i) out.push_back(smoothers_[i].Smooth(marked[i]));
  return out;
}

std::vector<Track> TipMeter::InBand(const std::vector<Track>& motion) const {
  std::vector<Track> out;
  out.reserve(motion.size());
  for (const Track& track : motion) out.push_back(WithinBand(track, cutoff_, rate_));
  return out;
}

std::vector<Track> TipMeter::MarkedAgain(const std::vector<Track>& motion, std::mt19937_64& random) const {
  std::vector<Track> out = motion;
  for (std::size_t t = 0; t < out.size(); ++t) {
    const Track noise = DrawNoise(t, random);
    for (std::size_t i = 0; i < noise.size(); ++i) out[t][i] = out[t][i] + (noise[i] - PointSq{});
  }
  return out;
}

std::vector<std::vector<bool>> TipMeter::Moving(const std::vector<Track>& tracks, double slope_sd) const {
  std::vector<std::vector<bool>> out;
  out.reserve(tracks.size());
  for (const Track& track : tracks)
    out.push_back(MovingSteps(Slopes(track, half_window_), kPathScore * slope_sd,
                              static_cast<int>(std::lround(kPathMargin * rate_))));
  return out;
}

std::vector<Track> TipMeter::Found(const std::vector<Track>& marked) const {
  const auto moving = Moving(marked, slope_sd_);
  std::vector<Track> out;
  for (const Track& smooth : Smoothed(marked)) {
    const std::vector<bool>& moves = moving[out.size()];
    Track found{smooth.front()};
    for (std::size_t i = 0; i + 1 < smooth.size(); ++i)
      found.push_back(moves[i] ? found.back() + (smooth[i + 1] - smooth[i]) : found.back());
    out.push_back(std::move(found));
  }
  return out;
}

TipMeasures TipMeter::MeasureBand(const std::vector<Track>& band, const std::vector<Noise>& noise,
                                  const std::vector<std::vector<bool>>& moving) const {
  TipMeasures out;
  Track all;
  std::size_t longest = 0;
  for (std::size_t t = 0; t < band.size(); ++t) {
    std::vector<double> speed = StepLengths(band[t]);
    for (std::size_t i = 0; i < speed.size(); ++i) {
      const double length = LessNoise(speed[i], noise[t].step[i]);
      (moving[t][i] ? out.length : out.resting) += length;
      if (moving[t][i]) out.lengthening += speed[i] - length;
      speed[i] *= rate_;
    }
    out.peak = std::max(out.peak, PeakSpeed(band[t], rate_));
    out.movements += CountMovements(speed, movement_speed_, movement_speed_ / 2);
    out.seconds += static_cast<double>(band[t].size() - 1) / rate_;
    AddLength(VectorLength(Distance(band[t].front(), band[t].back()), noise[t].ends), out.straight);
    all.insert(all.end(), band[t].begin(), band[t].end());
    if (band[t].size() > band[longest].size()) longest = t;
  }
  out.area = Area(ConvexHull(all));
  AddSmoothness(band[longest], rate_, out);
  return out;
}

void TipMeter::AddStill(const std::vector<Track>& tracks, double slope_sd, TipMeasures& out) const {
  bool any = false;
  for (const Track& track : tracks) {
    const std::vector<double> slopes = Slopes(track, half_window_);
    out.still += StillSeconds(slopes, still_speed_ / rate_, rate_);
    any = any ||
          std::any_of(slopes.begin(), slopes.end(), [&](double s) { return s > kMovingScore * slope_sd; });
  }
  out.resting = std::max(0.0, out.resting);
  out.length = any ? std::max(0.0, out.length + out.resting / 3) : 0;
}

TipMeasures TipMeter::Measure(const std::vector<Track>& marked) const {
  TipMeasures out = MeasureBand(InBand(Smoothed(marked)), noise_, Moving(marked, slope_sd_));
  AddStill(marked, slope_sd_, out);
  return out;
}

TipMeasures TipMeter::MeasureExactly(const std::vector<Track>& motion) const {
  std::vector<std::vector<bool>> all;
  all.reserve(motion.size());
  for (const Track& track : motion) all.emplace_back(track.size() - 1, true);
  TipMeasures out = MeasureBand(InBand(motion), no_noise_, all);
  AddStill(motion, 0, out);
  return out;
}

}  // namespace afterscope
