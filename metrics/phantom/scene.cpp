// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/scene.hpp"

#include "metrics/phantom/random.hpp"

#include <cmath>
#include <numbers>

namespace afterscope::phantom {
namespace {

EyeGeometry RandomEye(Random& random) {
  EyeGeometry eye;
  eye.corneal_diameter_mm = random.Between(11.2, 12.2);
  eye.corneal_height_mm = eye.corneal_diameter_mm * random.Between(0.895, 0.925);
  eye.lopsidedness = random.Between(0.002, 0.01);
  eye.limbus_transition_mm = random.Between(0.5, 0.9);
  eye.corneal_power_d = random.Between(42.0, 45.5);
  eye.chamber_depth_mm = random.Between(2.7, 3.6);
  eye.optic_depth_mm = eye.chamber_depth_mm + random.Between(0.7, 1.1);
  eye.right_eye = random.Uniform() < 0.5;
  const bool temporal = random.Uniform() < 0.3;
  eye.seat_deg = !temporal ? 90 : eye.right_eye ? 180 : 0;
  return eye;
}

Disturbance DisturbanceOf(Difficulty difficulty, Random& random) {
  Disturbance d;
  if (difficulty == Difficulty::kEasy) return {1.2, 0.12, 1, 0.2, 0, 0, 0.006, 0, {}};
  d.zoom_change = random.Uniform() < 0.4 ? random.Between(-0.1, 0.12) : 0;
  if (difficulty == Difficulty::kUsual) return d;
  return {4.0, 0.45, 9, 1.2, random.Between(0.06, 0.15), 3, 0.03, random.Between(0.3, 0.9), {}};
}

}  // namespace

PolarShape HandMadeRhexis(std::uint64_t seed, double diameter_mm, double skill) {
  Random random = Random(seed).Fork(11);
  const double clumsy = 1.15 - skill;
  const double offset = std::abs(random.Normal()) * 0.16 * clumsy;
  const double towards = random.Between(0, 2 * std::numbers::pi);
  const PointMm centre{offset * std::cos(towards), offset * std::sin(towards)};
  std::vector<Ripple> ripples;
  for (int order = 2; order <= 5; ++order) {
    const double size = 0.055 * clumsy / (order - 0.5);
    ripples.push_back({order, size * random.Normal(), size * random.Normal()});
  }
  return RippledEllipse(centre, diameter_mm / 2, diameter_mm / 2, 0, ripples);
}

Scene RandomScene(std::uint64_t seed, Difficulty difficulty) {
  Random random(seed);
  Scene scene;
  scene.seed = seed;
  scene.eye = RandomEye(random);
  scene.pupil_mm = random.Between(difficulty == Difficulty::kHard ? 6.0 : 6.7, 7.4);
  scene.iris = static_cast<IrisColour>(random.Below(3));
  scene.speculum = random.Uniform() < 0.5 ? Speculum::kWire : Speculum::kBlade;
  scene.hardness = random.Between(0.2, difficulty == Difficulty::kHard ? 1.0 : 0.7);
  scene.skill = random.Between(0.2, 0.95);
  const double rhexis_mm = random.Between(4.8, 5.5);
  scene.rhexis = HandMadeRhexis(random.Next(), rhexis_mm, scene.skill);
  scene.main_incision_mm = random.Uniform() < 0.5 ? 2.2 : 2.4;
  scene.main_incision_deg = random.Between(55, 80);
  scene.side_port_deg = scene.main_incision_deg + random.Between(80, 100);
  scene.surge = difficulty == Difficulty::kHard;
  scene.disturbance = DisturbanceOf(difficulty, random);
  return scene;
}

}  // namespace afterscope::phantom
