// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/follow/tip_evidence.hpp"
#include "metrics/follow/tip_filter.hpp"
#include "metrics/follow/tip_glimpse.hpp"
#include "metrics/follow/tip_patch.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace afterscope {

// A place where the tip may be.
struct TipCandidate {
  TipPose pose;
  TipEvidence evidence{};
  double odds = 0;  // OddsOf(evidence)
  TipGlimpse glimpse{};
};

// Where to look for a tip: within `radius_px` of `center`, the shaft within `span` of `shaft`.
struct TipRegion {
  PointPx center;
  double radius_px = 0;
  Angle shaft;
  Angle span;
};

struct TipLookOptions {
  TipPatchShape shape;
  double px_per_mm = 9;  // scale that is worked at (never finer than the picture)
  double angle_step_deg = 10;
  std::size_t candidates = 7;  // kept of a frame
};

// What an instrument's end looks like, learnt from hand-set points, and the search for it. After the last
// Learn, Look is const and may be called from several threads.
class TipLooks {
 public:
  // px_per_mm: of the pictures, in the plane of the limbus; positive.
  explicit TipLooks(double px_per_mm, const TipLookOptions& options = {});

  // picture: CV_8UC1, of the size of all others; zoom: how much larger it shows the eye than px_per_mm says.
  // Learns the tip, and from within `region` what isn't the tip; returns the look's index. With an index that
  // was learnt: in its place.
  std::size_t Learn(const cv::Mat& picture, const TipPose& pose, const TipRegion& region, double zoom = 1,
                    std::optional<std::size_t> instead_of = {});
  // What tells the tip from everything else: the looks given (indices in order of learning) are what it is;
  // what it is not is taken from all that was learnt, `but` for one.
  TipFilter FilterFor(const std::vector<std::size_t>& by, std::optional<std::size_t> but = {}) const;

  // The places of `picture` that look most like the tip, best first, no two of them closer than a third of a
  // millimetre.
  std::vector<TipCandidate> Look(const cv::Mat& picture, const TipRegion& region, const TipFilter& filter,
                                 double zoom = 1) const;

 private:
  double px_per_mm_;
  TipLookOptions options_;
  double scale_;
  TipFilterShape filter_shape_;
  std::vector<TipLesson> tips_,
      others_;  // of each learnt look: with the tip; turned, and of the whole region
};

}  // namespace afterscope
