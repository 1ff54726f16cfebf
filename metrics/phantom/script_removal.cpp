// SPDX-License-Identifier: Apache-2.0
// From the first groove to the lens in its place.
#include "metrics/phantom/script_writer.hpp"
#include "metrics/phantom/turn.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace afterscope::phantom {
namespace {

PointMm Towards(double angle, double distance_mm) {
  return {distance_mm * std::cos(angle), distance_mm * std::sin(angle)};
}

}  // namespace

void ScriptWriter::NucleusDivision(const Stretch& at) {
  const double away = Angle(true) + kPi;
  ToolUse tip = Enter(Tool::kHandpiece, true, at.start_s, Towards(away, -0.8), 1.1);
  ToolUse second = Enter(Tool::kSecondInstrument, false, at.start_s + 0.5, Towards(Angle(false), 1.4), 1.0);
  const double stop = at.end_s - 0.9;
  const double sculpt_end = tip.path.end_s() + 0.6 * (stop - tip.path.end_s());
  const double stroke = 0.95 - 0.3 * at.skill;
  for (int i = 0; tip.path.end_s() + 2 * stroke < sculpt_end; ++i) {
    script_.ultrasound.Move(tip.path.end_s(), tip.path.end_s() + 0.25 * stroke, 0.6);
    tip.path.To(Jittered(Towards(away, 1.9), 0.12), stroke);
    script_.ultrasound.Move(tip.path.end_s() - 0.2 * stroke, tip.path.end_s(), 0);
    tip.path.To(Jittered(Towards(away, -1.0), 0.12), 0.8 * stroke);
  }
  script_.groove = Curve(0);
  script_.groove.Move(at.start_s + 1.2, sculpt_end, 1);
  const double crack = std::max(0.6, (stop - sculpt_end) * 0.35);
  Dither(second.path, tip.path.end_s(), 0.12);
  tip.path.To(Towards(away + 0.5, 0.4), 0.5).Rest(0.1).To(Towards(away + 1.4, 1.0), crack);
  second.path.To(Towards(away - 0.5, 0.4), 0.5).Rest(0.1).To(Towards(away - 1.4, 1.0), crack);
  script_.crack = Curve(0);
  script_.crack.Move(tip.path.end_s() - crack, tip.path.end_s(), 1);
  Dither(tip.path, stop, 0.2);
  Dither(second.path, stop, 0.2);
  Leave(std::move(second), at.end_s);
  Leave(std::move(tip), at.end_s);
}

void ScriptWriter::FragmentRemoval(const Stretch& at) {
  ToolUse tip = Enter(Tool::kHandpiece, true, at.start_s, {0, 0.4}, 1.1);
  ToolUse second = Enter(Tool::kSecondInstrument, false, at.start_s + 0.4, Towards(Angle(false), 1.2), 1.0);
  const double stop = at.end_s - 0.9;
  const double each = (stop - tip.path.end_s()) / 4;
  const double turn = script_.nucleus_turn.last();
  for (int i = 0; i < 4; ++i) {
    const double begin = tip.path.end_s();
    const PointMm piece = Towards(turn + kPi / 4 + i * kPi / 2, 1.3);
    Dither(second.path, begin, 0.1);
    second.path.To(Jittered({1.25 * piece.x, 1.25 * piece.y}, 0.2), 0.3 * each);
    tip.path.To(Jittered(piece, 0.15), 0.3 * each).To(Jittered({0.1, 0.1}, 0.2), 0.3 * each);
    Dither(tip.path, begin + each, 0.1);
    script_.quarter[static_cast<std::size_t>(i)] = Curve(1).Move(begin + 0.35 * each, begin + 0.97 * each, 0);
    script_.ultrasound.Move(begin + 0.35 * each, begin + 0.45 * each, 0.9)
        .Move(begin + 0.9 * each, begin + each, 0.1);
    script_.aspiration.Move(begin + 0.2 * each, begin + 0.4 * each, 1);
  }
  script_.ultrasound.Move(stop, stop + 0.2, 0);
  script_.aspiration.Move(stop, stop + 0.3, 0);
  Dither(second.path, stop, 0.1);
  Leave(std::move(second), at.end_s);
  Leave(std::move(tip), at.end_s);
}

void ScriptWriter::Cortex(const Stretch& at) {
  const double start = Angle(true) + kPi;
  ToolUse tip = Enter(Tool::kAspiration, true, at.start_s, Towards(start, 2.2), 1.2);
  const double stop = at.end_s - 0.9;
  const double each = (stop - tip.path.end_s()) / 8;
  script_.aspiration.Move(tip.path.end_s(), tip.path.end_s() + 0.3, 0.7);
  for (int i = 0; i < 8; ++i) {
    // Every other sector on this side and on that, ending under the incision.
    const int turns = (i % 2 == 0 ? 1 : -1) * ((i + 1) / 2);
    const double angle = start + turns * kPi / 4;
    const double begin = tip.path.end_s();
    tip.path.To(Jittered(Towards(angle, 2.5), 0.1), 0.55 * each)
        .To(Jittered(Towards(angle, 1.3), 0.2), 0.45 * each);
    const double turned = angle - 2 * kPi * std::floor(angle / (2 * kPi));
    const auto sector = static_cast<std::size_t>(std::lround(turned / (kPi / 4))) % 8;
    script_.cortex[sector] = Curve(1).Move(begin + 0.5 * each, begin + each, 0);
  }
  script_.aspiration.Move(stop, stop + 0.3, 0);
  Leave(std::move(tip), at.end_s);
}

void ScriptWriter::BagRefill(const Stretch& at) {
  Injection(at, true, 1.0);
  script_.viscoelastic.Move(at.start_s + 0.8, at.end_s - 0.8, 1);
}

void ScriptWriter::Lens(const Stretch& at) {
  const double away = Angle(true) + kPi;
  ToolUse use = Enter(Tool::kInjector, true, at.start_s, Towards(away, -2.6), 1.5);
  const double out = use.path.end_s();
  const double stop = at.end_s - 0.9;
  script_.lens_centre = TipPath(out, Towards(away, -1.0));
  script_.lens_centre.To(Jittered({0, 0}, 0.25), 0.6 * (stop - out));
  script_.lens_out = Curve(0).Move(out, out + 0.55 * (stop - out), 1);
  script_.lens_open = Curve(0).Move(out + 0.3 * (stop - out), at.end_s + 0.5, 1);
  Dither(use.path, stop, 0.08);
  Leave(std::move(use), at.end_s);
}

void ScriptWriter::Positioning(const Stretch& at) {
  ToolUse hook = Enter(Tool::kSecondInstrument, false, at.start_s, Towards(Angle(false), 2.3), 1.1);
  const double work = at.end_s - 0.9 - hook.path.end_s();
  const double begin = hook.path.end_s();
  hook.path.Round({0, 0}, 0.8, 2.2, 0.55 * work).To(Towards(Angle(false), 1.6), 0.35 * work);
  script_.lens_turn = Curve(0).Move(begin, begin + 0.55 * work, 0.8);
  script_.lens_centre.Rest(std::max(0.0, begin - script_.lens_centre.end_s()))
      .To(Jittered(scene_.rhexis.centre, 0.12 * (1.1 - at.skill)), 0.55 * work);
  Leave(std::move(hook), at.end_s);
}

void ScriptWriter::ViscoelasticRemoval(const Stretch& at) {
  ToolUse tip = Enter(Tool::kAspiration, true, at.start_s, {0.3, 0.9}, 1.1);
  const double work = at.end_s - 0.9 - tip.path.end_s();
  script_.aspiration.Move(tip.path.end_s(), tip.path.end_s() + 0.3, 0.6);
  tip.path.Round({0, 0}, 2.4, 1.6, 0.5 * work).Round({0, 0}, -1.8, 1.2, 0.5 * work);
  script_.viscoelastic.Move(tip.path.end_s() - work, tip.path.end_s(), 0);
  script_.aspiration.Move(tip.path.end_s(), tip.path.end_s() + 0.3, 0);
  Leave(std::move(tip), at.end_s);
}

void ScriptWriter::Hydration(const Stretch& at) {
  const PointMm wound = Wound(true);
  const PointMm side = wound + OffsetMm{-0.15 * wound.y, 0.15 * wound.x};
  ToolUse use = Enter(Tool::kCannula, true, at.start_s, {0.97 * wound.x, 0.97 * wound.y}, 0.9);
  const double work = at.end_s - 0.9 - use.path.end_s();
  if (work > 0.6) use.path.Rest(0.3 * work).To(side, 0.5 * work).Rest(0.2 * work);
  Leave(std::move(use), at.end_s);
}

}  // namespace afterscope::phantom
