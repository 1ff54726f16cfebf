// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/marking_error.hpp"
#include "metrics/scale/corneal_factor.hpp"
#include "metrics/scale/scale.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// A scale of the review, computed from its mark; `scale` empty: not computable, and `reason` says why. A
// limbus outline of eight or more points that no scale of the review names stands for a scale of its own,
// without an id.
struct ResolvedScale {
  std::optional<ScaleId> id;
  MarkId mark;
  FrameRef at;
  std::optional<HalfOpen<FrameRef>> range;  // empty: the whole recording of its mark
  std::optional<Scale> scale;
  std::string method;
  std::string reason;

  bool HoldsAt(FrameRef frame) const;
};
// The scales that the review names; and one for every other limbus outline of eight points or more, unless a
// named scale with a range holds there already.
std::vector<ResolvedScale> ResolveScales(const CaseRecord& record, const Review& review,
                                         const MarkingError& error);

// A scale for lengths in one plane at one frame.
struct ChosenScale {
  const ResolvedScale* source = nullptr;
  double mm_per_sq = 0;  // true lengths in the plane
  double relative_sd = 0;
  double as_seen_mm_per_sq = 0;  // as it looks through the cornea
  double as_seen_relative_sd = 0;
  bool outside_stretch = false;  // no scale holds at that frame: the narrowest of the others
  bool zoom_followed = false;    // brought to the zoom at that frame, as the eye was followed
};
// The one with the narrowest limits in that plane. Empty if none was computable.
std::optional<ChosenScale> ChooseScale(const std::vector<ResolvedScale>& scales, FrameRef at, Plane plane,
                                       const CorneaFacts& facts);

CorneaFacts FactsOf(const CaseRecord& record);

}  // namespace afterscope
