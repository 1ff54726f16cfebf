// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/phantom/curve.hpp"
#include "metrics/phantom/scene.hpp"
#include "metrics/phantom/tip_path.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace afterscope::phantom {

enum class Tool {
  kSidePortBlade,
  kKeratome,
  kCannula,
  kForceps,
  kHandpiece,
  kAspiration,
  kSecondInstrument,
  kInjector,
};

// A step of the operation, half-open, in seconds since the first picture.
struct StepSpan {
  std::string key;
  double start_s = 0;
  double end_s = 0;
  std::optional<double> taken_over_s;  // from then to its end the supervisor has the instruments
};

// One instrument from coming into the picture to leaving it. Its path is that of the tip, in true millimetres
// of the plane of the capsule (also where the tip is outside of the eye and only looks as if).
struct ToolUse {
  Tool tool = Tool::kCannula;
  bool main_hand = true;
  double start_s = 0;  // seen from
  double end_s = 0;
  double enter_s = 0;  // in the eye from
  double leave_s = 0;
  PointMm pivot;  // of the shaft, in the plane of the limbus
  TipPath path;
  Curve opening_mm;  // of forceps
};

struct Event {
  double at_s = 0;
  std::string kind;  // "settings", "complication", "check", "teaching point"
  std::string key;
  std::string text;
};

// What happens in the operation, as functions of time in seconds since the first picture.
struct Script {
  double seconds = 0;
  std::vector<StepSpan> steps;
  std::vector<ToolUse> tools;
  std::vector<Event> events;
  // Capsule: where the tear starts (picture angle) and how much of the turn is torn, 0 to 1.
  double tear_start = 0;
  double tear_direction = 1;  // 1: clockwise on screen
  Curve torn;
  std::vector<double> grasps_s;  // the jaws have closed on the flap
  double flap_gone_s = 0;        // it is taken out
  // Nucleus and cortex.
  Curve fluid_wave;              // hydrodissection, 0 to 1 across
  Curve groove;                  // how deep the cross is sculpted
  Curve crack;                   // how far the quarters are apart
  Curve nucleus_turn;            // radians
  std::array<Curve, 4> quarter;  // 1 there to 0 gone
  std::array<Curve, 8> cortex;   // by sector
  // Lens.
  Curve lens_out;       // out of the injector, 0 to 1
  Curve lens_open;      // unfolded, 0 to 1
  Curve lens_turn;      // radians
  TipPath lens_centre;  // true mm in the plane of the optic
  // Eye, microscope, light.
  Curve pupil_mm;
  Curve capsule_depth_mm;  // of the capsule's edge behind the cornea: deeper once it lies on the lens
  Curve reflex;            // brightness of the red reflex, about 1
  Curve viscoelastic;      // 0 to 1
  TipPath eye_shift;       // mm, of the eye in its socket
  Curve eye_turn;          // radians
  TipPath camera_shift;    // mm, of the microscope
  Curve zoom;              // factor
  Curve blur_px;           // sigma
  double side_port_s = 0;  // the moment of each cut
  double main_incision_s = 0;
  // Sound.
  Curve ultrasound;  // power, 0 to 1
  Curve aspiration;

  const StepSpan* Step(const std::string& key) const;
};

// The operation of a scene. Deterministic.
Script WriteScript(const Scene& scene);

}  // namespace afterscope::phantom
