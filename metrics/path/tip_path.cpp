// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/tip_path.hpp"

#include "metrics/geometry/polygon.hpp"
#include "metrics/path/even_times.hpp"
#include "metrics/path/filters.hpp"
#include "metrics/path/smoothness.hpp"
#include "metrics/path/speed_profile.hpp"
#include "metrics/series/draws.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

namespace afterscope {
namespace {

constexpr std::size_t kLeastPositions = 8;
constexpr double kWindowSeconds = 0.33;  // over which a slope tells moving from still
constexpr double kMovingScore = 3.5;  // slope by its standard deviation, in the plane: 0.2 % of a still tip's
constexpr double kMarginSeconds = 0.07;  // round each moving stretch

using Track = std::vector<PointSq>;  // at even times

// What stays the same for all tracks measured with one set of options.
struct Setting {
  double rate = 0, cutoff = 0;
  double point_sd = 0;
  double step_noise = 0;  // of a filtered step along each axis
  double movement_speed = 0, still_speed = 0;
  int half_window = 0, margin = 0;
  double slope_sd = 0;  // of the windowed slope, a sample
};

struct Measures {
  double length = 0, length_with_still = 0, seconds = 0, peak = 0, straight = 0, area = 0, movements = 0,
         still = 0;
  std::optional<double> sparc, log_jerk_speed, log_jerk_motion;
  double economy() const { return length > 0 ? std::min(1.0, straight / length) : 0; }
};

Setting MakeSetting(const TipPathOptions& options, double interval) {
  Setting s;
  s.rate = 1 / interval;
  s.cutoff = std::min(options.cutoff_hz, 0.3 * s.rate);
  s.point_sd = options.point_sd;
  s.step_noise = options.point_sd * StepNoiseGain(s.cutoff, s.rate);
  s.half_window = std::max(2, static_cast<int>(std::lround(kWindowSeconds * s.rate / 2)));
  s.margin = static_cast<int>(std::lround(kMarginSeconds * s.rate));
  const double h = s.half_window;
  s.slope_sd = options.point_sd / std::sqrt(h * (h + 1) * (2 * h + 1) / 3);
  s.movement_speed = std::max(options.movement_speed, 5 * s.step_noise * s.rate);
  s.still_speed = std::max(options.still_speed, kMovingScore * s.slope_sd * s.rate);
  return s;
}

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

Track Filter(const Track& track, const Setting& s) {
  std::vector<double> x, y;
  for (const PointSq& p : track) {
    x.push_back(p.x);
    y.push_back(p.y);
  }
  const auto fx = ZeroPhaseLowPass(x, s.cutoff, s.rate), fy = ZeroPhaseLowPass(y, s.cutoff, s.rate);
  Track out;
  for (std::size_t i = 0; i < track.size(); ++i) out.push_back({(*fx)[i], (*fy)[i]});
  return out;
}

std::vector<double> StepLengths(const Track& track) {
  std::vector<double> out;
  for (std::size_t i = 0; i + 1 < track.size(); ++i) out.push_back(Distance(track[i], track[i + 1]));
  return out;
}

void AddSmoothness(const Track& filtered, const Setting& s, Measures& out) {
  std::vector<double> speed = StepLengths(filtered);
  for (double& v : speed) v *= s.rate;
  out.sparc = SpectralArcLength(speed, s.rate);
  out.log_jerk_speed = LogJerkOfSpeed(speed, s.rate);
  out.log_jerk_motion = LogJerkOfMotion(filtered, s.rate);
}

Measures Measure(const std::vector<Track>& tracks, const Setting& s, std::vector<Track>* filtered_out) {
  Measures out;
  std::vector<double> moving, still;
  Track all;
  std::size_t longest = 0;
  std::vector<Track> filtered;
  for (const Track& track : tracks) {
    filtered.push_back(Filter(track, s));
    const Track& f = filtered.back();
    const std::vector<double> slopes = Slopes(track, s.half_window);
    const std::vector<bool> moves = MovingSteps(slopes, kMovingScore * s.slope_sd, s.margin);
    const std::vector<bool> works = MovingSteps(slopes, s.still_speed / s.rate, s.margin);
    std::vector<double> speed = StepLengths(f);
    for (std::size_t i = 0; i < speed.size(); ++i) (moves[i] ? moving : still).push_back(speed[i]);
    for (double& v : speed) out.peak = std::max(out.peak, v *= s.rate);
    out.movements += CountMovements(speed, s.movement_speed, s.movement_speed / 2);
    out.still += static_cast<double>(std::count(works.begin(), works.end(), false)) / s.rate;
    out.seconds += static_cast<double>(track.size() - 1) / s.rate;
    out.straight += Distance(f.front(), f.back());
    all.insert(all.end(), f.begin(), f.end());
    if (track.size() > tracks[longest].size()) longest = filtered.size() - 1;
  }
  out.length = NoiseFreeLength(moving, s.step_noise);
  out.length_with_still = out.length + NoiseFreeLength(still, s.step_noise);
  if (moving.empty()) out.straight = 0;
  out.area = Area(ConvexHull(all));
  AddSmoothness(filtered[longest], s, out);
  if (filtered_out) *filtered_out = std::move(filtered);
  return out;
}

// The path that was found: the steps of the filtered track, less their noise, and none where the tip is
// still.
Track FoundPath(const Track& track, const Track& filtered, const Setting& s) {
  const std::vector<bool> moves =
      MovingSteps(Slopes(track, s.half_window), kMovingScore * s.slope_sd, s.margin);
  Track out{filtered.front()};
  for (std::size_t i = 0; i + 1 < filtered.size(); ++i) {
    const OffsetSq step = filtered[i + 1] - filtered[i];
    const double left = 1 - s.step_noise * s.step_noise / std::max(Dot(step, step), 1e-300);
    out.push_back(out.back() + (moves[i] && left > 0 ? std::sqrt(left) : 0) * step);
  }
  return out;
}

// The measures of a path without noise.
Measures MeasureExactly(const std::vector<Track>& tracks, const Setting& s) {
  Setting exact = s;
  exact.step_noise = exact.slope_sd = 0;
  Measures out = Measure(tracks, exact, nullptr);
  out.peak = 0;
  for (const Track& t : tracks)
    for (const double v : StepLengths(t)) out.peak = std::max(out.peak, v * s.rate);
  return out;
}

struct Simulated {
  Measures truth;
  std::vector<Measures> repeats;
};

Simulated Simulate(const std::vector<Track>& tracks, const std::vector<Track>& filtered, const Setting& s,
                   const TipPathOptions& options) {
  std::mt19937_64 random(options.seed);
  std::normal_distribution<double> normal(0, options.point_sd);
  std::vector<Track> found;
  for (std::size_t i = 0; i < tracks.size(); ++i) found.push_back(FoundPath(tracks[i], filtered[i], s));
  Simulated out{MeasureExactly(found, s), {}};
  for (int i = 0; i < options.simulations; ++i) {
    std::vector<Track> marked = found;
    for (Track& track : marked)
      for (PointSq& p : track) {
        const double dx = normal(random), dy = normal(random);
        p = p + OffsetSq{dx, dy};
      }
    out.repeats.push_back(Measure(marked, s, nullptr));
  }
  return out;
}

// Standard deviation of a measure over the repeats, and its mean.
template <class Get>
std::pair<double, double> Spread(const std::vector<Measures>& repeats, const Get& get) {
  double sum = 0, squares = 0;
  for (const Measures& m : repeats) sum += get(m);
  const double mean = repeats.empty() ? 0 : sum / static_cast<double>(repeats.size());
  for (const Measures& m : repeats) squares += std::pow(get(m) - mean, 2);
  return {mean, repeats.size() < 2 ? 0 : std::sqrt(squares / static_cast<double>(repeats.size() - 1))};
}

// With the bias that the repeats show taken off.
template <class Get>
Estimate Corrected(const Measures& measured, const Simulated& simulated, const Get& get) {
  const auto [mean, sd] = Spread(simulated.repeats, get);
  const double bias = simulated.repeats.empty() ? 0 : mean - get(simulated.truth);
  return EstimateNormal(get(measured) - bias, std::hypot(sd, bias / 2));
}

Estimate NotBelowZero(Estimate e) {
  e.value = std::max(0.0, e.value);
  e.low = std::max(0.0, e.low);
  e.high = std::max(e.value, e.high);
  return e;
}

template <class Member>
std::optional<Estimate> CorrectedIfAll(const Measures& measured, const Simulated& simulated, Member member) {
  const auto has = [&](const Measures& m) { return (m.*member).has_value(); };
  if (!has(measured) || !has(simulated.truth) ||
      !std::all_of(simulated.repeats.begin(), simulated.repeats.end(), has))
    return std::nullopt;
  return Corrected(measured, simulated, [&](const Measures& m) { return *(m.*member); });
}

void FillEstimates(const Measures& measured, const Simulated& simulated, TipPath& out) {
  const auto length = [](const Measures& m) { return m.length; };
  const double left = (measured.length_with_still - measured.length) / 2;
  const double sd = std::hypot(Spread(simulated.repeats, length).second, left / 2, 0.003 * measured.length);
  out.length = NotBelowZero(EstimateNormal(measured.length, sd));
  out.length.high += left;
  out.seconds = measured.seconds;
  for (auto [to, from] : {std::pair{&Estimate::value, out.length.value},
                          {&Estimate::low, out.length.low},
                          {&Estimate::high, out.length.high}})
    out.mean_speed.*to = from / measured.seconds;
  out.peak_speed = NotBelowZero(Corrected(measured, simulated, [](const Measures& m) { return m.peak; }));
  out.area = NotBelowZero(Corrected(measured, simulated, [](const Measures& m) { return m.area; }));
  const double economy = measured.economy();
  const double economy_sd =
      std::hypot(Spread(simulated.repeats, [](const Measures& m) { return m.economy(); }).second,
                 economy * sd / std::max(measured.length, 1e-9));
  out.economy = NotBelowZero(EstimateNormal(economy, economy_sd));
  out.economy.high = std::min(1.0, out.economy.high);
  const double movement_sd = Spread(simulated.repeats, [](const Measures& m) { return m.movements; }).second;
  const double margin = std::ceil(kNormal95 * movement_sd + 0.02 * measured.movements);
  out.movements =
      NotBelowZero({measured.movements, measured.movements - margin, measured.movements + margin});
  out.still_seconds = NotBelowZero(Corrected(measured, simulated, [](const Measures& m) { return m.still; }));
  out.sparc = CorrectedIfAll(measured, simulated, &Measures::sparc);
  out.log_jerk_speed = CorrectedIfAll(measured, simulated, &Measures::log_jerk_speed);
  out.log_jerk_motion = CorrectedIfAll(measured, simulated, &Measures::log_jerk_motion);
}

bool Usable(const TipStretch& stretch) {
  for (std::size_t i = 0; i < stretch.size(); ++i) {
    if (!std::isfinite(stretch[i].seconds + stretch[i].at.x + stretch[i].at.y)) return false;
    if (i > 0 && stretch[i].seconds <= stretch[i - 1].seconds) return false;
  }
  return stretch.size() >= kLeastPositions;
}

}  // namespace

std::optional<TipPath> MeasureTipPath(const std::vector<TipStretch>& stretches, const TipPathOptions& options,
                                      std::string* why) {
  std::vector<TipStretch> usable;
  std::copy_if(stretches.begin(), stretches.end(), std::back_inserter(usable), Usable);
  if (usable.empty()) {
    if (why) *why = "the trail has no stretch of 8 or more positions without a gap";
    return std::nullopt;
  }
  const double interval = MedianInterval(usable);
  const Setting setting = MakeSetting(options, interval);
  std::vector<Track> tracks;
  for (const TipStretch& s : usable)
    if (Track track = AtEvenTimes(s, interval); track.size() >= kLeastPositions)
      tracks.push_back(std::move(track));
  if (tracks.empty()) {
    if (why) *why = "the trail's positions lie too unevenly in time";
    return std::nullopt;
  }
  TipPath out;
  out.stretches_left_out = static_cast<int>(stretches.size() - tracks.size());
  out.rate_hz = setting.rate;
  out.cutoff_hz = setting.cutoff;
  out.movement_speed = setting.movement_speed;
  out.still_speed = setting.still_speed;
  const Measures measured = Measure(tracks, setting, &out.filtered);
  FillEstimates(measured, Simulate(tracks, out.filtered, setting, options), out);
  return out;
}

std::vector<TipStretch> SplitAtGaps(const TipStretch& samples) {
  const double longest = std::max(0.25, 3 * MedianInterval({samples}));
  std::vector<TipStretch> out;
  for (const TipSample& s : samples) {
    if (out.empty() || s.seconds - out.back().back().seconds > longest) out.emplace_back();
    out.back().push_back(s);
  }
  return out;
}

}  // namespace afterscope
