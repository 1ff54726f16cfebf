// SPDX-License-Identifier: Apache-2.0
// From the first cut to the loosened nucleus.
#include "metrics/phantom/script_writer.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace afterscope::phantom {

void ScriptWriter::SidePort(const Stretch& at) {
  const PointMm wound = Wound(false);
  ToolUse use =
      Enter(Tool::kSidePortBlade, false, at.start_s, {wound.x * 0.72, wound.y * 0.72}, 0.7 * at.length());
  script_.side_port_s = use.enter_s;
  Leave(std::move(use), at.end_s);
}

void ScriptWriter::Injection(const Stretch& at, bool main_hand, double reach_mm) {
  const double angle = Angle(main_hand) + std::numbers::pi;
  const PointMm far{reach_mm * std::cos(angle), reach_mm * std::sin(angle)};
  ToolUse use = Enter(Tool::kCannula, main_hand, at.start_s, far, std::min(1.4, 0.45 * at.length()));
  const double leave = at.end_s - 0.9;
  if (leave > use.path.end_s() + 0.6) use.path.To({far.x * -0.3, far.y * -0.3}, leave - use.path.end_s());
  Leave(std::move(use), at.end_s);
}

void ScriptWriter::Viscoelastic(const Stretch& at) {
  Injection(at, false, 2.2);
  script_.viscoelastic.Move(at.start_s + 0.6, at.end_s - 0.6, 1);
}

void ScriptWriter::MainIncision(const Stretch& at) {
  const PointMm wound = Wound(true);
  ToolUse use =
      Enter(Tool::kKeratome, true, at.start_s, {wound.x * 0.55, wound.y * 0.55}, 0.72 * at.length());
  script_.main_incision_s = use.enter_s;
  Leave(std::move(use), at.end_s);
}

void ScriptWriter::Rhexis(const Stretch& at) {
  const PolarShape& edge = scene_.rhexis;
  const PointMm middle = edge.centre;
  const int grasps = std::clamp(static_cast<int>(std::lround(7.5 - 4.5 * at.skill)), 3, 7);
  script_.tear_start = -std::numbers::pi / 2 + random_.Between(-0.5, 0.5);
  script_.tear_direction = 1;
  const auto hold = [&](double done) {  // where the flap is held when that much of the turn is torn
    const double angle = script_.tear_start + done * 2 * std::numbers::pi + 0.55;
    const double radius = 0.72 * edge.RadiusAt(angle);
    return PointMm{middle.x + radius * std::cos(angle), middle.y + radius * std::sin(angle)};
  };
  ToolUse use = Enter(Tool::kForceps, true, at.start_s, Jittered(middle, 0.15), 1.3);
  use.opening_mm.Key(at.start_s, 0.1).Move(use.path.end_s() - 0.3, use.path.end_s(), 0.7);
  const double work = at.end_s - 0.9 - use.path.end_s();
  use.path.To(hold(0), 0.09 * work);  // the first cut, from the middle to the edge
  script_.torn = Curve(0);
  script_.torn.Move(use.path.end_s() - 0.05 * work, use.path.end_s(), 0.02);
  const double each = 0.91 * work / grasps;
  for (int i = 0; i < grasps; ++i) {
    const double from = 0.02 + 0.98 * i / grasps;
    const double to = 0.02 + 0.98 * (i + 1) / grasps;
    const double regrasp = std::min(0.45 * each, 0.5 + 0.6 * (1 - at.skill));
    const double tries = at.skill < 0.45 ? 2 : 1;
    for (int k = 0; k < tries; ++k)
      use.path.To(Jittered(hold(from), k + 1 < tries ? 0.45 : 0.08 * (1.2 - at.skill)), regrasp / tries);
    const double grip = use.path.end_s();
    use.opening_mm.Move(grip - 0.2, grip, 0.05);
    script_.grasps_s.push_back(grip);
    const double pull = each - regrasp - 0.08;
    use.path.Rest(0.04)
        .Round(middle, (to - from) * 2 * std::numbers::pi, Distance(hold(to), middle), pull)
        .Rest(0.04);
    script_.torn.Move(grip + 0.04, grip + 0.04 + pull, to);
    if (i + 1 < grasps) use.opening_mm.Move(use.path.end_s() - 0.04, use.path.end_s() + 0.2, 0.6);
  }
  script_.flap_gone_s = at.end_s - 0.4;
  Leave(std::move(use), at.end_s);
}

void ScriptWriter::Hydrodissection(const Stretch& at) {
  const double angle = Angle(true) + std::numbers::pi / 2;
  const PointMm under{0.8 * scene_.rhexis.RadiusAt(angle) * std::cos(angle),
                      0.8 * scene_.rhexis.RadiusAt(angle) * std::sin(angle)};
  ToolUse use = Enter(Tool::kCannula, true, at.start_s, under, 1.2);
  script_.fluid_wave = Curve(0);
  script_.fluid_wave.Move(use.path.end_s() + 0.2, use.path.end_s() + 0.2 + 0.3 * at.length(), 1);
  const double left = at.end_s - 0.9 - use.path.end_s();
  use.path.Rest(0.4 * left)
      .To({-0.6 * under.x, 0.9 * under.y}, 0.3 * left)
      .Round({0, 0}, 0.9, 2.0, 0.3 * left);
  script_.nucleus_turn = Curve(0);
  script_.nucleus_turn.Move(at.end_s - 0.9 - 0.3 * left, at.end_s - 0.9, 0.9);
  Leave(std::move(use), at.end_s);
}

}  // namespace afterscope::phantom
