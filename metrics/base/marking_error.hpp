// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

// How far marks lie from what they mark, as standard deviations in square pixels: of one point, along each
// axis, differing from point to point; and shared by a whole outline (all of it read too far out or in).
struct MarkingError {
  double point_sd = 1.5;
  double shared_sd = 1.0;
};

}  // namespace afterscope
