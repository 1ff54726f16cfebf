// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/phantom/eye_geometry.hpp"
#include "metrics/phantom/polar_shape.hpp"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace afterscope::phantom {

enum class IrisColour { kBrown, kBlueGrey, kGreenHazel };
enum class Speculum { kWire, kBlade };

// How the recording looks and what disturbs it. All of it is 0 or off in a plain scene.
struct Disturbance {
  double noise_sd = 2.0;        // of 8-bit luma
  double eye_motion_mm = 0.25;  // how far the eye wanders
  double saccades_per_minute = 4;
  double drift_mm = 0.6;   // of the microscope between two re-centrings
  double zoom_change = 0;  // share by which the zoom changes once, e.g. 0.08
  int focus_losses = 1;
  double tremor_mm = 0.012;             // of the hand at 8 to 10 Hz, amplitude
  double lid_cover_mm = 0;              // how far the upper lid reaches over the limbus
  std::optional<double> zoom_change_s;  // when the zoom has changed; none: before the lens comes in
};

// The supervisor has the instruments from that share of a step's time to the end of the step.
struct TakeOver {
  std::string step;
  double from_share = 0;
};

// Everything that a phantom is made from; the same scene gives the same pictures and truth, to the byte.
struct Scene {
  std::uint64_t seed = 1;
  // The recording.
  int width = 640;  // of the picture, in its own pixels
  int height = 480;
  Rational pixel_aspect{1, 1};
  ColorMatrix matrix = ColorMatrix::kBt601;
  bool interlaced = false;      // top field first
  double field_seconds = 0.02;  // between the two fields of a picture
  // The eye.
  EyeGeometry eye;
  double px_per_mm = 22;  // square pixels in the plane of the limbus, at the start
  double pupil_mm = 7.0;  // true, at the start
  IrisColour iris = IrisColour::kBlueGrey;
  Speculum speculum = Speculum::kWire;
  double hardness = 0.5;  // 0 soft to 1 hard: how yellow and dense the nucleus is
  PolarShape rhexis;      // true mm in the plane of the capsule
  // The operation.
  double seconds = 64;
  double skill = 0.5;                // 0 beginner to 1 master: fewer, rounder, surer movements
  std::vector<TakeOver> take_overs;  // a step that is taken over from its start is done with skill 1
  bool surge = false;                // the chamber collapses for a moment during fragment removal
  double main_incision_mm = 2.4;
  double side_port_mm = 1.0;
  double main_incision_deg = 72;  // picture angle, clockwise from right
  double side_port_deg = 165;
  Disturbance disturbance;
};

// How hard a scene is on whoever measures it.
enum class Difficulty { kEasy, kUsual, kHard };

// A scene drawn at random within what eyes and recordings are like.
Scene RandomScene(std::uint64_t seed, Difficulty difficulty);
// An outline as a hand makes it: about `diameter_mm` across, rounder and better centred with more skill.
PolarShape HandMadeRhexis(std::uint64_t seed, double diameter_mm, double skill);

}  // namespace afterscope::phantom
