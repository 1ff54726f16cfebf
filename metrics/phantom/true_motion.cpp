// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/true_motion.hpp"

#include "metrics/phantom/shaft.hpp"
#include "metrics/phantom/true_shape.hpp"
#include "metrics/phantom/truth.hpp"
#include "metrics/phantom/turn.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {
namespace {

constexpr double kFine = 0.002;  // seconds
constexpr int kOverlapDirections = 720;

// How far the polygon lies from `from` in that direction; it surrounds `from`.
double DistanceAlong(const std::vector<PointMm>& polygon, PointMm from, OffsetMm direction) {
  double farthest = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const OffsetMm a = polygon[i] - from, edge = polygon[(i + 1) % polygon.size()] - polygon[i];
    const double across = Cross(direction, edge);
    if (std::abs(across) < 1e-15) continue;
    const double along = Cross(a, edge) / across, share = Cross(a, direction) / across;
    if (share >= 0 && share <= 1) farthest = std::max(farthest, along);
  }
  return farthest;
}

}  // namespace

double LargestSpeed(const std::vector<PointMm>& path, double step_s, double margin_s) {
  if (path.size() < 2) return 0;
  double most = 0;
  const std::size_t steps = path.size() - 1,
                    margin =
                        std::min(static_cast<std::size_t>(std::lround(margin_s / step_s)), (steps - 1) / 2);
  for (std::size_t i = margin; i + margin < steps; ++i) most = std::max(most, Distance(path[i], path[i + 1]));
  return most / step_s;
}

int Movements(const std::vector<PointMm>& path, double step_s, double speed) {
  int count = 0;
  bool moves = false;
  for (std::size_t i = 1; i < path.size(); ++i) {
    const double now = Distance(path[i - 1], path[i]) / step_s;
    if (!moves && now > speed) ++count;
    moves = now > (moves ? speed / 2 : speed);
  }
  return count;
}

// Round the points from the lowest x on: the upper side to the right, the lower side back.
double HullArea(std::vector<PointMm> points) {
  std::sort(points.begin(), points.end(),
            [](PointMm a, PointMm b) { return a.x != b.x ? a.x < b.x : a.y < b.y; });
  double area = 0;
  for (const double side : {1.0, -1.0}) {
    std::vector<PointMm> chain;
    for (const PointMm p : points) {
      while (chain.size() >= 2 && side * Cross(chain.back() - chain[chain.size() - 2], p - chain.back()) >= 0)
        chain.pop_back();
      chain.push_back(p);
    }
    for (std::size_t i = 1; i < chain.size(); ++i)
      area += side * (chain[i].x - chain[i - 1].x) * (chain[i].y + chain[i - 1].y) / 2;
  }
  return std::abs(area);
}

double StillSeconds(const Scene& scene, const ToolUse& use, double from_s, double to_s, double speed,
                    double window_s, double margin_s) {
  const int half = static_cast<int>(std::lround(window_s / 2 / kFine));
  const int margin = static_cast<int>(std::lround(margin_s / kFine));
  const int count = static_cast<int>(std::floor((to_s - from_s) / kFine)) + 1;
  std::vector<PointMm> path;
  for (int i = -half; i < count + half; ++i) path.push_back(TipWithTremor(scene, use, from_s + i * kFine));
  std::vector<bool> works(static_cast<std::size_t>(count), false);
  for (int i = 0; i < count; ++i) {
    OffsetMm sum;
    double squares = 0;
    for (int k = -half; k <= half; ++k) {
      const int at = i + half + k;
      sum = sum + static_cast<double>(k) * (path[static_cast<std::size_t>(at)] - PointMm{});
      squares += static_cast<double>(k) * k;
    }
    if (sum.Length() / (squares * kFine) <= speed) continue;
    for (int k = std::max(0, i - margin); k <= std::min(count - 1, i + margin); ++k)
      works[static_cast<std::size_t>(k)] = true;
  }
  return static_cast<double>(std::count(works.begin(), works.end(), false)) * kFine;
}

double SecondsBeyond(const Scene& scene, const ToolUse& use, double from_s, double to_s, double share) {
  const PolarShape limbus = scene.eye.Limbus();
  const PointMm middle = FactsOf(limbus.Polygon()).centroid;
  const double magnification = scene.eye.CapsuleMagnification();
  const int count = std::max(1, static_cast<int>(std::lround((to_s - from_s) / kFine)));
  const auto polygon = limbus.Polygon();
  int beyond = 0;
  for (int i = 0; i < count; ++i) {
    const PointMm tip = TipWithTremor(scene, use, from_s + (i + 0.5) * (to_s - from_s) / count);
    const OffsetMm off = PointMm{tip.x * magnification, tip.y * magnification} - middle;
    const double away = off.Length();
    beyond += away > 1e-9 && away > share * DistanceAlong(polygon, middle, off / away);
  }
  return (to_s - from_s) * beyond / count;
}

OverlapShares TrueOverlap(const Scene& scene, const Script& script, double seconds) {
  const auto capsule = RhexisShape(scene).Polygon();
  const auto iris = Scaled(PupilShape(scene, script.pupil_mm.At(seconds)),
                           scene.eye.CapsuleMagnification() / scene.eye.OpticMagnification())
                        .Polygon();
  const PointMm middle = script.lens_centre.At(seconds);
  const double optic = scene.eye.optic_diameter_mm / 2;
  int hidden = 0, covered = 0;
  for (int i = 0; i < kOverlapDirections; ++i) {
    const double turn = kTurn * i / kOverlapDirections;
    const OffsetMm along{std::cos(turn), std::sin(turn)};
    const double edge = DistanceAlong(capsule, middle, along), pupil = DistanceAlong(iris, middle, along);
    if (edge > pupil && optic > pupil)
      ++hidden;
    else
      covered += edge < optic;
  }
  const int seen = kOverlapDirections - hidden;
  return {static_cast<double>(hidden) / kOverlapDirections,
          seen > 0 ? static_cast<double>(covered) / seen : 0};
}

double ByRank(std::vector<double> values, double share) {
  if (values.empty()) return 0;
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(std::lround(share * static_cast<double>(values.size() - 1)))];
}

}  // namespace afterscope::phantom
