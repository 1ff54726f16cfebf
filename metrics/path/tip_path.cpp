// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/tip_path.hpp"

#include "metrics/path/even_times.hpp"
#include "metrics/path/tip_measures.hpp"
#include "metrics/series/draws.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

namespace afterscope {
namespace {

// What stays of the lengthening that was taken off, as a share of it; of the way in rests, of which a third
// counts; of any path; and how much of the largest speed smoothing may hide, which repeats round a path that
// was smoothed already don't show: found by simulation.
constexpr double kLengtheningSd = 0.8, kRestingSd = 0.35, kMethodSd = 0.004, kPeakSd = 0.01;

struct Simulated {
  TipMeasures truth;
  std::vector<TipMeasures> repeats;
};

Simulated Simulate(const TipMeter& meter, const std::vector<Track>& found, const TipPathOptions& options) {
  std::mt19937_64 random(options.seed);
  Simulated out{meter.MeasureExactly(found), {}};
  for (int i = 0; i < options.simulations; ++i)
    out.repeats.push_back(meter.Measure(meter.MarkedAgain(found, random)));
  return out;
}

// Standard deviation of a measure over the repeats, and its mean.
template <class Get>
std::pair<double, double> Spread(const std::vector<TipMeasures>& repeats, const Get& get) {
  double sum = 0, squares = 0;
  for (const TipMeasures& m : repeats) sum += get(m);
  const double mean = repeats.empty() ? 0 : sum / static_cast<double>(repeats.size());
  for (const TipMeasures& m : repeats) squares += std::pow(get(m) - mean, 2);
  return {mean, repeats.size() < 2 ? 0 : std::sqrt(squares / static_cast<double>(repeats.size() - 1))};
}

template <class Get>
double BiasOf(const Simulated& simulated, const Get& get) {
  return simulated.repeats.empty() ? 0 : Spread(simulated.repeats, get).first - get(simulated.truth);
}

// With the bias that the repeats show taken off. They start from a path that is not the true one, so that the
// bias is known to within a share of its own size only. `more_sd`: of what repeats do not show.
template <class Get>
Estimate Corrected(const TipMeasures& measured, const Simulated& simulated, const Get& get, double share = 1,
                   double more_sd = 0) {
  const double bias = BiasOf(simulated, get);
  return EstimateNormal(get(measured) - bias,
                        std::hypot(Spread(simulated.repeats, get).second, share * bias, more_sd));
}

// Of the hull, which noise only ever widens. What it adds goes with its standard deviation where the path is
// narrow: the path that was found holds it once already, so that repeats, which hold it twice, show root 2 -
// 1 of it; where the path is wide, it adds nothing. What is taken off is as uncertain as what it is taken
// from.
Estimate AreaFrom(const TipMeasures& measured, const Simulated& simulated) {
  const auto area = [](const TipMeasures& m) { return m.area; };
  const double shown = std::max(0.0, BiasOf(simulated, area)), most = shown / (std::numbers::sqrt2 - 1);
  const double half = kNormal95 * Spread(simulated.repeats, area).second;
  return {measured.area - most / 2, measured.area - most - std::numbers::sqrt2 * half, measured.area + half};
}

// Straight line by length.
Estimate EconomyFrom(const Estimate& straight, const Estimate& length) {
  if (!(length.value > 0)) return {};
  const double economy = std::min(1.0, straight.value / length.value);
  const double by_length = economy * (length.high - length.value) / length.value;
  const double below = std::hypot((straight.value - straight.low) / length.value, by_length),
               above = std::hypot((straight.high - straight.value) / length.value, by_length);
  return {economy, std::max(0.0, economy - below), std::min(1.0, economy + above)};
}

Estimate NotBelowZero(Estimate e) {
  e.value = std::max(0.0, e.value);
  e.low = std::max(0.0, e.low);
  e.high = std::max(e.value, e.high);
  return e;
}

template <class Member>
std::optional<Estimate> CorrectedIfAll(const TipMeasures& measured, const Simulated& simulated,
                                       Member member) {
  const auto has = [&](const TipMeasures& m) { return (m.*member).has_value(); };
  if (!has(measured) || !has(simulated.truth) ||
      !std::all_of(simulated.repeats.begin(), simulated.repeats.end(), has))
    return std::nullopt;
  return Corrected(measured, simulated, [&](const TipMeasures& m) { return *(m.*member); });
}

Estimate Length(const TipMeasures& measured, const Simulated& simulated) {
  const Estimate corrected = Corrected(
      measured, simulated, [](const TipMeasures& m) { return m.length; }, 0.5);
  if (!(measured.length > 0)) return NotBelowZero({0, 0, corrected.high - corrected.value, corrected.level});
  const double sd =
      std::hypot((corrected.high - corrected.value) / kNormal95,
                 std::hypot(kLengtheningSd * measured.lengthening, kRestingSd * measured.resting),
                 kMethodSd * measured.length);
  return NotBelowZero(EstimateNormal(corrected.value, sd));
}

void FillEstimates(const TipMeasures& measured, const Simulated& simulated, TipPath& out) {
  out.length = Length(measured, simulated);
  out.seconds = measured.seconds;
  for (auto [to, from] : {std::pair{&Estimate::value, out.length.value},
                          {&Estimate::low, out.length.low},
                          {&Estimate::high, out.length.high}})
    out.mean_speed.*to = from / measured.seconds;
  out.peak_speed = NotBelowZero(Corrected(
      measured, simulated, [](const TipMeasures& m) { return m.peak; }, 1, kPeakSd * measured.peak));
  // On average each is off by little of its limits, but each by itself: of an even motion the largest may
  // come out below.
  out.peak_speed.value = std::max(out.peak_speed.value, out.mean_speed.value);
  out.peak_speed.high = std::max(out.peak_speed.high, out.peak_speed.value);
  out.area = NotBelowZero(AreaFrom(measured, simulated));
  out.economy = EconomyFrom(measured.straight, out.length);
  const double movement_sd =
      Spread(simulated.repeats, [](const TipMeasures& m) { return m.movements; }).second;
  const double margin = std::ceil(kNormal95 * movement_sd + 0.02 * measured.movements);
  out.movements =
      NotBelowZero({measured.movements, measured.movements - margin, measured.movements + margin});
  out.still_seconds = NotBelowZero(Corrected(
      measured, simulated, [](const TipMeasures& m) { return m.still; }, 1, 0.5 / out.rate_hz));
  out.sparc = CorrectedIfAll(measured, simulated, &TipMeasures::sparc);
  out.log_jerk_speed = CorrectedIfAll(measured, simulated, &TipMeasures::log_jerk_speed);
  out.log_jerk_motion = CorrectedIfAll(measured, simulated, &TipMeasures::log_jerk_motion);
}

bool Usable(const TipStretch& stretch) {
  for (std::size_t i = 0; i < stretch.size(); ++i) {
    if (!std::isfinite(stretch[i].seconds + stretch[i].at.x + stretch[i].at.y)) return false;
    if (i > 0 && stretch[i].seconds <= stretch[i - 1].seconds) return false;
  }
  return stretch.size() >= kLeastTipPositions;
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
  std::vector<Track> tracks;
  std::vector<double> starts;
  for (const TipStretch& s : usable)
    if (Track track = AtEvenTimes(s, interval); track.size() >= kLeastTipPositions) {
      tracks.push_back(std::move(track));
      starts.push_back(s.front().seconds);
    }
  if (tracks.empty()) {
    if (why) *why = "the trail's positions lie too unevenly in time";
    return std::nullopt;
  }
  const TipMeter meter(tracks, starts, interval, options);
  TipPath out;
  out.stretches_left_out = static_cast<int>(stretches.size() - tracks.size());
  out.rate_hz = meter.rate();
  out.cutoff_hz = meter.cutoff();
  out.movement_speed = meter.movement_speed();
  out.still_speed = meter.still_speed();
  out.filtered = meter.InBand(meter.Smoothed(tracks));
  FillEstimates(meter.Measure(tracks), Simulate(meter, meter.Found(tracks), options), out);
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
