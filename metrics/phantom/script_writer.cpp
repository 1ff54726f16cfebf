// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/script_writer.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace afterscope::phantom {

ScriptWriter::ScriptWriter(const Scene& scene, Script& script)
    : scene_(scene),
      script_(script),
      random_(Random(scene.seed).Fork(3)),
      magnification_(scene.eye.CapsuleMagnification()) {}

double ScriptWriter::Angle(bool main_hand) const {
  return (main_hand ? scene_.main_incision_deg : scene_.side_port_deg) * std::numbers::pi / 180;
}

PointMm ScriptWriter::Wound(bool main_hand) const {
  const PointMm on_limbus = scene_.eye.Limbus().At(Angle(main_hand));
  return {on_limbus.x * 0.97 / magnification_, on_limbus.y * 0.97 / magnification_};
}

PointMm ScriptWriter::Outside(bool main_hand) const {
  const double angle = Angle(main_hand);
  return Wound(main_hand) + OffsetMm{6.5 * std::cos(angle), 6.5 * std::sin(angle)};
}

PointMm ScriptWriter::Jittered(PointMm p, double spread_mm) {
  const double x = random_.Normal();
  return {p.x + spread_mm * x, p.y + spread_mm * random_.Normal()};
}

ToolUse ScriptWriter::Enter(Tool tool, bool main_hand, double at_s, PointMm target, double in_s) const {
  ToolUse use;
  use.tool = tool;
  use.main_hand = main_hand;
  use.start_s = at_s;
  const PointMm wound = Wound(main_hand);
  use.pivot = {wound.x * magnification_, wound.y * magnification_};
  use.path = TipPath(at_s, Outside(main_hand));
  use.path.To(wound, 0.55 * in_s);
  use.enter_s = use.path.end_s();
  use.path.To(target, 0.45 * in_s);
  return use;
}

void ScriptWriter::Leave(ToolUse use, double end_s) {
  const double left = end_s - use.path.end_s();
  const double wait = std::max(0.0, left - 0.9);
  use.path.Rest(wait);
  const double out = (left - wait) / 2;
  use.path.To(Wound(use.main_hand), out);
  use.leave_s = use.path.end_s();
  use.path.To(Outside(use.main_hand), out);
  use.end_s = end_s;
  script_.tools.push_back(std::move(use));
}

void ScriptWriter::Dither(TipPath& path, double until_s, double spread_mm) {
  const PointMm around = path.end();
  while (until_s - path.end_s() > 0.9) {
    const double takes_s = random_.Between(0.45, 0.8);
    path.To(Jittered(around, spread_mm), takes_s);
    path.Rest(random_.Between(0.0, 0.25));
  }
  if (until_s > path.end_s()) path.Rest(until_s - path.end_s());
}

void ScriptWriter::EyeAndMicroscope() {
  const Disturbance& d = scene_.disturbance;
  const double end = script_.seconds;
  script_.eye_shift = TipPath(0, {0, 0});
  script_.eye_turn = Curve(0);
  for (double t = 0; t < end; t = script_.eye_shift.end_s()) {
    const double wander = random_.Between(1.2, 3.0);
    const PointMm target = Jittered({0, 0}, d.eye_motion_mm);
    script_.eye_shift.To(target, wander).Rest(random_.Between(0, 0.8));
    script_.eye_turn.Key(script_.eye_shift.end_s(), 0.012 * (d.eye_motion_mm / 0.25) * random_.Normal());
    if (random_.Uniform() < d.saccades_per_minute * wander / 60)
      script_.eye_shift.To(Jittered(target, 1.5 * d.eye_motion_mm), 0.12).Rest(0.3);
  }
  script_.camera_shift = TipPath(0, {0, 0});
  for (double t = 0; t < end; t = script_.camera_shift.end_s()) {
    script_.camera_shift.Rest(random_.Between(9, 16));
    const double takes_s = random_.Between(1.0, 2.0);
    script_.camera_shift.To(Jittered({0, 0}, d.drift_mm), takes_s);
  }
  script_.zoom = Curve(1);
  if (d.zoom_change != 0) {
    const StepSpan* lens = script_.Step("lens");
    const double at = d.zoom_change_s.value_or(lens ? lens->start_s - 0.4 : 0.7 * end);
    script_.zoom.Move(at - 1.2, at, 1 + d.zoom_change);
  }
  script_.blur_px = Curve(0);
  for (int i = 0; i < d.focus_losses; ++i) {
    const double at = end * (i + random_.Between(0.3, 0.8)) / d.focus_losses;
    script_.blur_px.Move(at, at + 0.6, random_.Between(1.5, 3.0)).Move(at + 0.9, at + 1.8, 0);
  }
}

}  // namespace afterscope::phantom
