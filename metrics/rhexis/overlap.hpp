// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/angle.hpp"
#include "metrics/base/estimate.hpp"
#include "metrics/base/point.hpp"
#include "metrics/geometry/outline_model.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

enum class Overlap {
  kOverlapped,    // the capsule covers the optic's edge for certain (within the limits)
  kBare,          // the optic's edge lies free
  kUncertain,     // the limits hold both
  kHiddenByIris,  // both edges lie under the iris: nothing was seen
};

// One direction from the optic's centre.
struct OverlapSector {
  OffsetSq direction;  // length one, in the decoded picture
  Overlap kind = Overlap::kUncertain;
  Estimate margin;  // optic edge minus rhexis edge along the direction, positive: covered; square pixels
  double optic_radius = 0;  // from the centre, square pixels
  double rhexis_radius = 0;
  std::optional<double> pupil_radius;
};

struct OverlapMap {
  PointSq centre;  // of the optic
  std::vector<OverlapSector>
      sectors;  // equally spaced, starting along the x axis and turning towards the y axis
  double Share(Overlap kind) const;  // of all directions, 0 to 1
  // Over the directions that the iris does not hide; empty where it hides all.
  std::optional<Estimate> least, most;    // margin, square pixels
  std::optional<Estimate> covered_share;  // of those directions, covered
  // Of all directions, those in which both edges lie farther out than the pupil's; empty where that was not
  // marked. A sector counts as hidden already where the pupil's error leaves it open.
  std::optional<Estimate> hidden_share;
};

// Of two outlines on the same frame, with the pupil's where it was marked. Empty where the rhexis does not
// surround the optic's centre; the reason goes to `why` (if given).
std::optional<OverlapMap> MapOverlap(const OutlineModel& rhexis, const OutlineModel& optic,
                                     const OutlineModel* pupil, int directions, std::string* why);

}  // namespace afterscope
