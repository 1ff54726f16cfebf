// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/shaft_pivot.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kShaftSd = 0.07;                      // radians: of the direction of a hand-set shaft
constexpr double kPivotSd = 0.2;                       // limbus radii: of a wound about the limbus
constexpr double kNearWound = 0.15;                    // limbus radii
constexpr double kNearExit = 0.35, kWellWithin = 0.9;  // limbus radii
constexpr double kApartDeg = 30;                       // of two guesses
constexpr int kBlurSteps = 2;                          // of kShaftStepDeg: a wound is no point

// Where a shaft leaves the limbus; none if its tip lies outside.
std::optional<PointPx> Exit(const TipPose& pose, const PivotEye& eye) {
  const OffsetPx from = pose.tip - eye.center;
  const OffsetPx along{std::cos(pose.shaft.radians()), std::sin(pose.shaft.radians())};
  const double inside = eye.radius_px * eye.radius_px - Dot(from, from);
  if (!(inside > 0)) return std::nullopt;
  const double middle = Dot(from, along);
  return pose.tip + (std::sqrt(middle * middle + inside) - middle) * along;
}

}  // namespace

std::optional<PointPx> ShaftPivot(const std::vector<TipPose>& poses, const PivotEye& eye) {
  // Each shaft says how far the pivot is from its line: least squares about the mean exit.
  std::vector<std::pair<TipPose, PointPx>> exits;
  for (const TipPose& pose : poses)
    if (const auto exit = Exit(pose, eye)) exits.emplace_back(pose, *exit);
  if (exits.empty()) return std::nullopt;
  OffsetPx sum;
  for (const auto& [pose, exit] : exits) sum = sum + (exit - eye.center);
  const PointPx guess = eye.center + sum / static_cast<double>(exits.size());
  const double hold = 1 / std::pow(kPivotSd * eye.radius_px, 2);
  double xx = hold, xy = 0, yy = hold, x = 0, y = 0;
  for (const auto& [pose, exit] : exits) {
    const OffsetPx across{-std::sin(pose.shaft.radians()), std::cos(pose.shaft.radians())};
    const double far = std::max(Distance(pose.tip, exit), 0.1 * eye.radius_px);
    const double weight = 1 / std::pow(kShaftSd * far, 2), off = Dot(pose.tip - guess, across);
    xx += weight * across.x * across.x, xy += weight * across.x * across.y,
        yy += weight * across.y * across.y;
    x += weight * off * across.x, y += weight * off * across.y;
  }
  const double det = xx * yy - xy * xy;
  return guess + OffsetPx{(yy * x - xy * y) / det, (xx * y - xy * x) / det};
}

Angle ShaftThrough(Angle wound, PointPx tip, const PivotEye& eye) {
  const OffsetPx out{std::cos(wound.radians()), std::sin(wound.radians())};
  const OffsetPx to = eye.center + eye.radius_px * out - tip;
  if (Distance(tip, eye.center) >= eye.radius_px || to.Length() < kNearExit * eye.radius_px) return wound;
  return Angle::Radians(std::atan2(to.y, to.x));
}

std::vector<WoundGuess> GuessWounds(const std::vector<ScoredTip>& tips, const PivotEye& eye,
                                    std::size_t most) {
  std::vector<WoundGuess> all;
  for (int degrees = 0; degrees < 360; degrees += kShaftStepDeg) {
    const Angle wound = Angle::Degrees(degrees);
    double sum = 0, counted = 0;
    for (const ScoredTip& t : tips) {
      const double best = *std::max_element(t.scores.begin(), t.scores.end());
      if (Distance(t.tip, eye.center) >= kWellWithin * eye.radius_px || !(best > 0)) continue;
      const Angle shaft = ShaftThrough(wound, t.tip, eye);
      double near = 0;
      for (int k = -kBlurSteps; k <= kBlurSteps; ++k) near = std::max(near, t.scores[ShaftStepOf(shaft, k)]);
      sum += near / best, ++counted;
    }
    if (sum > 0) all.push_back({wound, sum / counted});
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const WoundGuess& a, const WoundGuess& b) { return a.likely > b.likely; });
  std::vector<WoundGuess> out;
  for (const WoundGuess& guess : all) {
    const bool known = std::any_of(out.begin(), out.end(), [&](const WoundGuess& o) {
      return std::abs(std::remainder((o.direction - guess.direction).degrees(), 360.0)) < kApartDeg;
    });
    if (!known && out.size() < most) out.push_back(guess);
  }
  return out;
}

double DegreesOffPivot(const TipPose& pose, PointPx pivot, const PivotEye& eye) {
  const OffsetPx to = pivot - pose.tip;
  if (Distance(pose.tip, eye.center) >= eye.radius_px || to.Length() < kNearWound * eye.radius_px) return 0;
  const Angle expected = Angle::Radians(std::atan2(to.y, to.x));
  return std::abs(std::remainder((pose.shaft - expected).degrees(), 360.0));
}

}  // namespace afterscope
