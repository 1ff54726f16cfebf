// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/eye_summary.hpp"

#include "metrics/path/vector_length.hpp"
#include "metrics/series/draws.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <random>

namespace afterscope {
namespace {

constexpr int kStrikes = 200;
constexpr std::size_t kMostValues = 4000;  // that are struck: of more, some evenly
constexpr double kSharpBest = 0.9, kLeastPupil = 0.05, kTurnTail = 0.01;
constexpr double kLeastZoomChange = 0.03, kZoomPause = 3;

double ByRankOf(std::vector<double> values, double share) {
  const auto at = values.begin() + std::lround(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

template <class T>
std::vector<T> Some(const std::vector<T>& all) {
  const std::size_t step = (all.size() + kMostValues - 1) / kMostValues;
  if (step <= 1) return all;
  std::vector<T> out;
  for (std::size_t i = 0; i < all.size(); i += step) out.push_back(all[i]);
  return out;
}

template <class Once>
Estimate StruckAgainFrom(double found, double least, double most, unsigned seed, const Once& once) {
  std::mt19937_64 random(seed);
  std::vector<double> draws;
  draws.reserve(kStrikes);
  for (int i = 0; i < kStrikes; ++i) draws.push_back(once(random));
  const auto again = EstimateFromDraws(draws);
  if (!again) return {found, found, found};
  const double value = std::clamp(2 * found - again->value, least, most);
  const double off = std::max(again->high - again->value, again->value - again->low);
  return {value, std::max(least, value - off), std::min(most, value + off)};
}

double Drawn(std::mt19937_64& random, double sd) {
  return std::normal_distribution<double>(0, 1)(random) * sd;
}

OffsetPx DrawnOffset(std::mt19937_64& random, double sd) {
  const double x = Drawn(random, sd);
  return {x, Drawn(random, sd)};
}

double RangeOfTurns(const std::vector<double>& degrees) {
  return ByRankOf(degrees, 1 - kTurnTail) - ByRankOf(degrees, kTurnTail);
}

double MeanLength(const std::vector<OffsetPx>& offsets, OffsetPx off) {
  double sum = 0;
  for (const OffsetPx& o : offsets) sum += (o + off).Length();
  return sum / static_cast<double>(offsets.size());
}

double ShareLonger(const std::vector<OffsetPx>& offsets, OffsetPx off, double limit) {
  const auto count = std::count_if(offsets.begin(), offsets.end(),
                                   [&](const OffsetPx& o) { return (o + off).Length() > limit; });
  return static_cast<double>(count) / static_cast<double>(offsets.size());
}

double ShareAbove(const std::vector<double>& values, double limit) {
  const auto count = std::count_if(values.begin(), values.end(), [&](double v) { return v > limit; });
  return static_cast<double>(count) / static_cast<double>(values.size());
}

double TiltOf(double squeeze) {
  return std::acos(std::exp(-std::max(0.0, squeeze))) * 180 / std::numbers::pi;
}

}  // namespace

// A still eye has a range that is all error, R; a moving one has hardly any of it: sqrt(found^2 - R^2) is
// right for both.
Estimate TurnRange(const std::vector<double>& degrees, const std::vector<double>& seconds, unsigned seed,
                   const EyeErrors& errors) {
  const std::vector<double> some = Some(degrees), at = Some(seconds);
  const auto struck = [&](std::vector<double> turns, std::mt19937_64& random) {
    double slow = Drawn(random, errors.slow_turn_deg), known = at.front();
    for (std::size_t i = 0; i < turns.size(); ++i) {
      if (at[i] - known >= errors.slow_seconds) slow = Drawn(random, errors.slow_turn_deg), known = at[i];
      turns[i] += slow + Drawn(random, errors.turn_deg);
    }
    return RangeOfTurns(turns);
  };
  std::mt19937_64 random(seed);
  std::vector<double> moved, still;
  for (int i = 0; i < kStrikes; ++i) {
    moved.push_back(struck(some, random));
    still.push_back(struck(std::vector<double>(some.size(), 0.0), random));
  }
  const double found = RangeOfTurns(some), error = ByRankOf(still, 0.5);
  const auto without = [&](double range) { return std::sqrt(std::max(0.0, range * range - error * error)); };
  // What is taken off is known to within a third; and of 2000 simulated eyes the spread of turns that were
  // struck again alone held the truth in 92 of 100.
  const double off = 1.15 * std::hypot((ByRankOf(moved, 0.975) - ByRankOf(moved, 0.025)) / 2,
                                       kNormal95 * (found - without(found)) / 3);
  return {without(found), without(std::max(0.0, found - off)), without(found + off)};
}

Estimate MeanOffCentre(const std::vector<OffsetPx>& offsets, double centre_sd, unsigned seed) {
  const std::vector<OffsetPx> some = Some(offsets);
  return StruckAgainFrom(MeanLength(some, {}), 0, HUGE_VAL, seed, [&](std::mt19937_64& random) {
    return MeanLength(some, DrawnOffset(random, centre_sd));
  });
}

Estimate ShareOffCentre(const std::vector<OffsetPx>& offsets, double limit, double centre_sd, double unit_sd,
                        unsigned seed) {
  const std::vector<OffsetPx> some = Some(offsets);
  return StruckAgainFrom(ShareLonger(some, {}, limit), 0, 1, seed, [&](std::mt19937_64& random) {
    const OffsetPx off = DrawnOffset(random, centre_sd);
    return ShareLonger(some, off, limit * (1 + Drawn(random, unit_sd)));
  });
}

double FocusLimitOf(const std::vector<double>& sharpness, double share) {
  return share * ByRankOf(sharpness, kSharpBest);
}

Estimate ShareInFocus(const std::vector<double>& sharpness, double share, unsigned seed,
                      const EyeErrors& errors) {
  const std::vector<double> some = Some(sharpness);
  Estimate out =
      StruckAgainFrom(ShareAbove(some, FocusLimitOf(some, share)), 0, 1, seed, [&](std::mt19937_64& random) {
        std::vector<double> struck = some;
        for (double& v : struck) v *= 1 + Drawn(random, errors.sharpness);
        return ShareAbove(struck, FocusLimitOf(struck, share));
      });
  // When between two sights focus is lost is not known: even over the interval.
  const double limit = FocusLimitOf(some, share);
  int changes = 0;
  for (std::size_t i = 1; i < some.size(); ++i) changes += (some[i] > limit) != (some[i - 1] > limit);
  const double by_sights = kNormal95 * std::sqrt(changes / 12.0) / static_cast<double>(some.size());
  out.low = std::max(0.0, out.value - std::hypot(out.value - out.low, by_sights));
  out.high = std::min(1.0, out.value + std::hypot(out.high - out.value, by_sights));
  return out;
}

std::size_t LeastDiameterAt(const std::vector<double>& diameters) {
  std::vector<std::size_t> order(diameters.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  const auto at = order.begin() + static_cast<std::ptrdiff_t>(
                                      std::lround(kLeastPupil * static_cast<double>(order.size() - 1)));
  std::nth_element(order.begin(), at, order.end(),
                   [&](std::size_t a, std::size_t b) { return diameters[a] < diameters[b]; });
  return *at;
}

Estimate LeastDiameter(const std::vector<double>& diameters, double stated, unsigned seed,
                       const EyeErrors& errors) {
  const std::vector<double> some = Some(diameters);
  const double found = ByRankOf(some, kLeastPupil);
  const Estimate own = StruckAgainFrom(found, 0, HUGE_VAL, seed, [&](std::mt19937_64& random) {
    std::vector<double> struck = some;
    for (double& v : struck) v *= 1 + Drawn(random, errors.own_pupil);
    return ByRankOf(struck, kLeastPupil);
  });
  const double sd =
      std::hypot((own.high - own.value) / kNormal95, std::max(stated, errors.pupil * own.value));
  return EstimateNormal(own.value, sd);
}

OffsetMm EyeSqueeze(const EyeEllipse& ellipse, Angle turned) {
  const double ratio = std::log(ellipse.half_long / ellipse.half_short),
               a = 2 * (ellipse.angle - turned).radians();
  return {ratio * std::cos(a), ratio * std::sin(a)};
}

std::optional<Estimate> LargestTilt(const std::vector<StretchSqueeze>& stretches, const EyeErrors& errors) {
  std::optional<Estimate> largest;
  for (const StretchSqueeze& s : stretches) {
    const Estimate e = VectorLength(s.change.Length(), std::hypot(s.sd, errors.squeeze));
    if (!largest || e.value > largest->value || (e.value == largest->value && e.high > largest->high))
      largest = e;
  }
  if (!largest) return std::nullopt;
  return Estimate{TiltOf(largest->value), TiltOf(largest->low), TiltOf(largest->high)};
}

Estimate CountZoomChanges(const std::vector<TimedZoom>& zooms, const EyeErrors& errors) {
  const auto count = [&](double least) { return static_cast<double>(FindZoomChanges(zooms, least).size()); };
  const double off = kNormal95 * std::numbers::sqrt2 * errors.zoom, found = count(kLeastZoomChange);
  int pauses = 0;
  for (std::size_t i = 1; i < zooms.size(); ++i)
    pauses += zooms[i].seconds - zooms[i - 1].seconds >= kZoomPause;
  return {found, std::min(found, count(kLeastZoomChange + off)),
          std::max(found, count(kLeastZoomChange - off)) + 2 * pauses};
}

}  // namespace afterscope
