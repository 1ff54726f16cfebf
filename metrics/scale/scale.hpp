// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/marking_error.hpp"
#include "metrics/base/plane.hpp"
#include "metrics/base/point.hpp"
#include "metrics/eye/orientation.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// How square pixels become millimetres in one plane at one setting of the microscope. Lengths seen in that
// plane are true lengths; elsewhere PlaneRatio takes them over. Nothing is stretched: the matrix is the same
// in all directions unless a later version has reason.
struct Scale {
  Plane plane = Plane::kCornea;
  std::array<std::array<double, 2>, 2> mm_from_sq{{{1, 0}, {0, 1}}};
  double relative_sd =
      0;  // standard deviation of any length, as a share: marking and the known size together
  std::vector<std::string> cautions;

  double MmPerSq() const;  // of lengths: the root of the determinant
  PointMm MmFromSq(PointSq p) const;
  OffsetMm MmFromSq(OffsetSq d) const;
  std::vector<PointMm> MmFromSq(const std::vector<PointSq>& points) const;
};

// A known length with its standard deviation.
struct KnownLength {
  double mm = 0;
  double sd = 0;
};

// Horizontal corneal diameter of the population: 11.71 +- 0.42 mm (743 eyes; Cornea 2005;24:259).
constexpr KnownLength kPopulationCornealDiameter{11.71, 0.42};
// Of a single measurement with calipers or an optical instrument: about 0.1 mm, common practice, no source.
constexpr double kMeasuredCornealDiameterSd = 0.1;

// From the limbus: its diameter along the eye's 0-180 degree meridian through its centre is the horizontal
// corneal diameter. Eight points at least; no circle is assumed. Without an orientation the longest diameter
// is taken for it, and a caution says so. Empty with the reason in `why` (if given).
std::optional<Scale> ScaleFromLimbus(const std::vector<PointSq>& marked,
                                     const std::optional<EyeOrientation>& orientation, KnownLength diameter,
                                     const MarkingError& error, std::string* why);

// From two points a known length apart in a plane. Empty with the reason where they coincide or the length is
// not positive.
std::optional<Scale> ScaleFromLength(PointSq a, PointSq b, KnownLength length, Plane plane,
                                     const MarkingError& error, std::string* why);

// From an outline of known equivalent diameter (the lens optic).
std::optional<Scale> ScaleFromRound(const std::vector<PointSq>& marked, KnownLength diameter, Plane plane,
                                    const MarkingError& error, std::string* why);

}  // namespace afterscope
