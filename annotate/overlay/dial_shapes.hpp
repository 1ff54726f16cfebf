// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/overlay/shape.hpp"
#include "metrics/eye/orientation.hpp"

#include <string>

namespace afterscope {

// The dial: a thin ring outside the limbus with clock hours and, farther out, degrees (ISO 8429), as they lie
// in the decoded picture.
struct Dial {
  PointSq centre;
  double ring_radius = 0;
  EyeOrientation orientation;
  Eye eye = Eye::kUnknown;  // unknown: nasal and temporal are not named
  std::string nasal_word = "nasal";
  std::string temporal_word = "temporal";
};

// How far its outermost words reach in a picture of about 100 points, as a share of the ring's radius.
inline constexpr double kDialReach = 1.78;

// Nothing where the radius is not positive.
void AddDial(const Dial& dial, ShapeList& shapes);
// An incision as an arc on the ring, between the directions of its ends as seen from the dial's centre.
void AddIncisionArc(const Dial& dial, PointSq from, PointSq to, ShapeList& shapes);

}  // namespace afterscope
