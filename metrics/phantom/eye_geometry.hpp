// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"
#include "metrics/phantom/polar_shape.hpp"

#include <array>

namespace afterscope::phantom {

// Millimetres of the phantom lie in the frame of the eye as the surgeon sees it: x right, y down (towards the
// surgeon), (0, 0) on the optical axis, which goes through the middle of the limbus. Lengths behind the
// cornea are true lengths; seen in the plane of the limbus they are larger by Magnification(depth).
struct EyeGeometry {
  double corneal_diameter_mm = 11.7;  // along the 0-180 degree meridian, middle of the grey transition
  double corneal_height_mm = 10.6;    // across it
  double lopsidedness = 0.008;        // how much the lower half of the limbus differs from the upper one
  double limbus_transition_mm = 0.7;  // width of the grey transition
  double corneal_power_d = 43.5;
  double chamber_depth_mm = 3.2;  // front of the cornea to the front of the lens capsule and the iris
  double optic_depth_mm = 4.0;    // to the lens optic and the capsule edge on it, at the end
  double optic_diameter_mm = 6.0;
  bool right_eye = true;
  double seat_deg = 90;  // meridian of the surgeon's seat, as seen facing the patient; bottom of the picture

  // Of what lies at that depth behind the cornea, seen through it: 1 / (1 - d F / n), n = 1.336 (paraxial).
  double Magnification(double depth_mm) const;
  double CapsuleMagnification() const { return Magnification(chamber_depth_mm); }
  double OpticMagnification() const { return Magnification(optic_depth_mm); }
  // Where a meridian of the dial (degrees, counter-clockwise as seen facing the patient) points in the
  // picture of an eye that is not turned: radians from +x towards +y (down).
  double PictureAngle(double dial_deg) const;
  double DialDegrees(double picture_angle) const;  // [0, 360)
  PolarShape Limbus() const;
};

// From millimetres (of the eye's frame) to a picture with square pixels; (0, 0) is the centre of the top left
// pixel.
struct Placement {
  PointSq origin;         // where (0, 0) is
  double px_per_mm = 20;  // in the plane of the limbus
  double turn = 0;        // radians, clockwise on screen

  PointSq Of(PointMm p, double magnification = 1) const;
  PointMm Back(PointSq p, double magnification = 1) const;
  // As a 2 x 3 matrix, rows first.
  std::array<double, 6> Matrix(double magnification = 1) const;
};

}  // namespace afterscope::phantom
