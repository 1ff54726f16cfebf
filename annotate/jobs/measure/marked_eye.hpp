// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/measure/measure_context.hpp"
#include "annotate/jobs/outline_track.hpp"
#include "metrics/path/tip_path.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// Where the eye was, from the limbus outlines (where there are fewer than two: the pupil's) of one recording,
// by linear interpolation between the frames on which they are marked.
class MarkedEye {
 public:
  // Empty unless marks on two frames or more surround the stretch [from, to] to within kOutlineTrackReach.
  static std::optional<MarkedEye> During(const MeasureContext& context, int recording, double from,
                                         double to);

  // Seconds of the case clock.
  PointSq At(double seconds) const { return track_.At(seconds); }
  const std::vector<const Mark*>& marks() const { return marks_; }
  // By the marking error: the centre of n points spread round an outline is off by the root of 2 / n of a
  // point's error along each axis (least squares).
  FrameError Error(double point_sd) const;

 private:
  MarkedEye(OutlineTrack track, std::vector<const Mark*> marks)
      : track_(std::move(track)), marks_(std::move(marks)) {}
  OutlineTrack track_;
  std::vector<const Mark*> marks_;
};

}  // namespace afterscope
