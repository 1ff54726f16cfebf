// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/polygon.hpp"
#include "metrics/path/smoothness.hpp"
#include "metrics/path/speed_profile.hpp"
#include "metrics/path/tip_path.hpp"
#include "metrics/phantom/shaft.hpp"
#include "metrics/phantom/truth.hpp"
#include "tests/metrics/path/trails_support.hpp"
#include "tests/support/coverage_tally.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

using coverage::Even;
using coverage::RandomBits;
using coverage::Tally;

constexpr double kFine = 0.005;  // seconds between true positions

// One use of an instrument by an operator of any skill, from coming into the eye to leaving it, in pixels.
// Marked with the hand's tremor (0.006 to 0.03 mm at 8 to 10 Hz), which a path does not claim: true is the
// movement without it. A tenth of it gets through the slope of the band, where marks of 1.5 px can't show it;
// it would make the path longer by 0.04 to 0.09 mm a second.
struct TrueUse {
  phantom::Scene scene;
  phantom::ToolUse use;
  double px_per_mm = 50, rate = 25;
  double from = 0, to = 0;  // seconds of the first and last frame

  PointSq Of(PointMm p) const { return {px_per_mm * p.x, px_per_mm * p.y}; }
  PointSq At(double seconds) const { return Of(use.path.At(seconds)); }
  PointSq WithTremor(double seconds) const { return Of(phantom::TipWithTremor(scene, use, seconds)); }
  std::vector<PointSq> InBand(double step) const {
    phantom::Scene steady = scene;
    steady.disturbance.tremor_mm = 0;
    const double c = kTipPathHalfPowerHz / std::pow(std::sqrt(2.0) - 1, 0.25);
    std::vector<PointSq> out;
    for (const PointMm p : phantom::FilteredPath(steady, use, from, to, step, c, 2)) out.push_back(Of(p));
    return out;
  }
};

TrueUse DrawUse(RandomBits& random, std::uint64_t seed) {
  TrueUse out;
  out.scene = phantom::RandomScene(seed, static_cast<phantom::Difficulty>(seed % 3));
  out.scene.seconds = Even(random, 50, 200);
  const phantom::Script script = phantom::WriteScript(out.scene);
  std::vector<phantom::ToolUse> uses;
  for (const phantom::ToolUse& use : script.tools)
    if (use.leave_s - use.enter_s > 2.5) uses.push_back(use);
  out.use = uses.at(std::uniform_int_distribution<std::size_t>(0, uses.size() - 1)(random));
  out.px_per_mm = Even(random, 22, 70);
  const double rates[] = {25, 30000.0 / 1001, 50, 60};
  out.rate = rates[std::uniform_int_distribution<int>(0, 3)(random)];
  out.from = out.use.enter_s + Even(random, 0, 1 / out.rate);
  const double frames = std::min(20.0, out.use.leave_s - out.from) * out.rate;
  out.to = out.from + (std::ceil(frames) - 1) / out.rate;
  return out;
}

// Least-squares slope over a third of a second round each fine position, pixels a second.
std::vector<double> TrueSlopes(const TrueUse& use) {
  const int half = static_cast<int>(std::lround(0.33 / 2 / kFine));
  const int n = static_cast<int>(std::floor((use.to - use.from) / kFine)) + 1;
  std::vector<PointSq> path;
  for (int i = 0; i < n; ++i) path.push_back(use.At(use.from + i * kFine));
  std::vector<double> out;
  for (int i = 0; i < n; ++i) {
    OffsetSq sum;
    double squares = 0;
    for (int k = -half; k <= half; ++k) {
      const PointSq p = path[static_cast<std::size_t>(std::clamp(i + k, 0, n - 1))];
      sum = sum + static_cast<double>(k) * (p - path[static_cast<std::size_t>(i)]);
      squares += static_cast<double>(k) * k;
    }
    out.push_back(sum.Length() / squares / kFine);
  }
  return out;
}

// Time slower than that, less 0.07 s on either side of what is faster.
double TrueStill(const TrueUse& use, double speed) {
  const std::vector<double> slopes = TrueSlopes(use);
  const auto n = static_cast<long>(slopes.size()), margin = std::lround(0.07 / kFine);
  std::vector<bool> works(slopes.size(), false);
  for (long i = 0; i < n; ++i)
    if (slopes[static_cast<std::size_t>(i)] > speed)
      for (long k = std::max(0L, i - margin); k <= std::min(n - 1, i + margin); ++k)
        works[static_cast<std::size_t>(k)] = true;
  return static_cast<double>(std::count(works.begin(), works.end(), false)) * kFine;
}

void AddUse(RandomBits& random, std::uint64_t seed, Tally& tally) {
  const TrueUse use = DrawUse(random, seed);
  TipStretch exact;
  for (int i = 0; use.from + i / use.rate <= use.to + 1e-9; ++i)
    exact.push_back({i / use.rate, use.WithTremor(use.from + i / use.rate)});
  TipPathOptions options;
  options.simulations = 40;
  options.seed = static_cast<unsigned>(seed);
  options.movement_speed = 2 * use.px_per_mm;
  options.still_speed = 0.5 * use.px_per_mm;
  const auto path = MeasureTipPath({test::Marked(exact, 1.5, random)}, options, nullptr);
  REQUIRE(path);

  const std::vector<PointSq> truth = use.InBand(kFine), sampled = use.InBand(1 / use.rate);
  std::vector<double> fine, coarse;
  for (std::size_t i = 1; i < truth.size(); ++i) fine.push_back(Distance(truth[i], truth[i - 1]) / kFine);
  for (std::size_t i = 1; i < sampled.size(); ++i)
    coarse.push_back(Distance(sampled[i], sampled[i - 1]) * use.rate);
  double length = 0;
  for (const double v : fine) length += v * kFine;
  tally.Add("path.length", path->length, length);
  tally.Add("path.speed_mean", path->mean_speed, length / (use.to - use.from));
  const auto margin = std::lround(kTipPeakMargin / kFine);
  tally.Add("path.speed_peak", path->peak_speed,
            *std::max_element(fine.begin() + margin, fine.end() - margin));
  tally.Add("path.economy", path->economy, Distance(truth.front(), truth.back()) / length);
  tally.Add("path.area", path->area, Area(ConvexHull(truth)));
  tally.Add("path.movements", path->movements,
            CountMovements(fine, path->movement_speed, path->movement_speed / 2));
  tally.Add("path.tip_still", path->still_seconds, TrueStill(use, path->still_speed));
  tally.Add("path.sparc", path->sparc, SpectralArcLength(coarse, use.rate).value());
  tally.Add("path.ldlj_scalar", path->log_jerk_speed, LogJerkOfSpeed(coarse, use.rate).value());
  tally.Add("path.ldlj_vector", path->log_jerk_motion, LogJerkOfMotion(sampled, use.rate).value());
}

Tally TallyUses(int uses) {
  RandomBits random(77);
  Tally tally;
  for (int i = 0; i < uses; ++i) AddUse(random, static_cast<std::uint64_t>(i) + 5000, tally);
  return tally;
}

// Not held, and said in a caution with each: path.sparc 91.8 %, path.ldlj_scalar 72 %, path.ldlj_vector 62 %.
void CheckUses(const Tally& tally) {
  CHECK(tally.OutsideContinuous({"path.length", "path.speed_mean", "path.economy", "path.tip_still"}) == "");
  CHECK(tally.BelowLeast({"path.movements", "path.speed_peak", "path.area"}) == "");
}

// Minimum-jerk strokes with rests, 12 s at 30 frames a second, 3 mm of reach at 30 to 60 pixels a millimetre,
// 1.5 pixels of marking error.
void CheckStrokes(int trails) {
  RandomBits random(77);
  Tally tally;
  double error = 0;
  for (int i = 0; i < trails; ++i) {
    const test::TrueTrail trail = test::Strokes(random, 12, 30, Even(random, 90, 180));
    TipPathOptions options;
    options.simulations = 20;
    options.seed = static_cast<unsigned>(i);
    const auto path = MeasureTipPath({test::Marked(trail.samples, 1.5, random)}, options, nullptr);
    REQUIRE(path);
    tally.Add("strokes", path->length, trail.length);
    error += (path->length.value / trail.length - 1) / trails;
  }
  INFO(tally.Text() << "mean error " << 100 * error << " %");
  CHECK(tally.OutsideContinuous({"strokes"}) == "");
  CHECK(std::abs(error) < 0.015);
}

}  // namespace

TEST_CASE("Limits of what is read from a path hold the truth: a small sample", "[path][coverage]") {
  CheckUses(TallyUses(coverage::kFew));
  CheckStrokes(coverage::kFew);
}

TEST_CASE("Limits of what is read from a path hold the truth in 93 to 97 of 100 uses", "[.coverage]") {
  const Tally tally = TallyUses(coverage::kMany);
  fmt::print("{}", tally.Text());
  CheckUses(tally);
  CheckStrokes(coverage::kMany);
}

}  // namespace afterscope
