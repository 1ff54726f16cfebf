// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/shaft.hpp"

#include "metrics/phantom/turn.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {
namespace {

double Smooth(double share) {
  const double s = std::clamp(share, 0.0, 1.0);
  return s * s * (3 - 2 * s);
}

}  // namespace

Placement HeadPlacement(const Scene& scene, const Script& script, double seconds) {
  Placement place;
  place.px_per_mm = scene.px_per_mm * script.zoom.At(seconds);
  const double shown_width = scene.width * scene.pixel_aspect.value();
  const PointMm camera = script.camera_shift.At(seconds);
  place.origin = {0.5 * (shown_width - 1) - place.px_per_mm * camera.x,
                  0.5 * (scene.height - 1) - place.px_per_mm * camera.y};
  return place;
}

Placement EyePlacement(const Scene& scene, const Script& script, double seconds) {
  Placement place = HeadPlacement(scene, script, seconds);
  const PointMm shift = script.eye_shift.At(seconds);
  place.origin = place.Of(shift);
  place.turn = script.eye_turn.At(seconds);
  return place;
}

PointMm TipWithTremor(const Scene& scene, const ToolUse& use, double seconds) {
  const PointMm at = use.path.At(seconds);
  Random random = Random(scene.seed).Fork(31 + static_cast<std::uint64_t>(use.start_s * 1000));
  const double phase_x = random.Between(0, kTurn);
  const double phase_y = random.Between(0, kTurn);
  const double hz = random.Between(8, 10);
  const double size = scene.disturbance.tremor_mm;
  return {at.x + size * std::sin(kTurn * hz * seconds + phase_x),
          at.y + size * std::sin(kTurn * 1.07 * hz * seconds + phase_y)};
}

ShaftLine ShaftAt(const Scene& scene, const Script&, const ToolUse& use, double seconds) {
  ShaftLine line;
  const double magnification = scene.eye.CapsuleMagnification();
  line.tip_mm = TipWithTremor(scene, use, seconds);
  line.tip_seen = {line.tip_mm.x * magnification, line.tip_mm.y * magnification};
  const double angle = (use.main_hand ? scene.main_incision_deg : scene.side_port_deg) * kTurn / 360;
  const OffsetMm outward{std::cos(angle), std::sin(angle)};
  const OffsetMm to_pivot = use.pivot - line.tip_seen;
  // In the eye the shaft goes through the wound; near it and outside it lies along the wound's own direction.
  const double inside = Smooth((Dot(to_pivot, outward) - 0.3) / 2.5);
  const OffsetMm through = to_pivot.Length() > 1e-6 ? to_pivot / to_pivot.Length() : outward;
  const OffsetMm mixed = (1 - inside) * outward + inside * through;
  line.towards_hand = mixed / mixed.Length();
  return line;
}

}  // namespace afterscope::phantom
