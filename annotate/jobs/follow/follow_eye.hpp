// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/followed.hpp"
#include "annotate/media/recording.hpp"
#include "metrics/base/result.hpp"

#include <functional>
#include <optional>

namespace afterscope {

// Where the eye is looked for first: a frame, and a point inside the pupil there (square pixels) if one is
// known.
struct EyeStart {
  Pts at;
  std::optional<PointPx> click;
};
// From the review's limbus or pupil outline of that recording, which serves as a click; none: without one.
std::optional<EyeStart> EyeStartFrom(const CaseRecord& record, const Review& review, int recording);

// A result to go on from, with the eye found on its reference frame but no frame followed yet. Errors:
// kNotComputable where no eye is found with enough trust on the start frame, or on any of several frames of
// the range; what reading the recording says.
Result<FollowedEye> FindReferenceEye(Recording& recording, int number, HalfOpen<Pts> range,
                                     const std::optional<EyeStart>& start, const StopQuery& stop);

// Follows the eye through the frames of `eye.range` that are not in it yet; `complete` is set when the last
// one is done. Error: kStopped, or what reading the recording says; what was found until then stays in `eye`,
// so that calling again goes on. `keep` (may be empty) is called with `eye` now and then, to put it away; its
// error ends the work.
Status FollowEye(Recording& recording, FollowedEye& eye, const Progress& progress, const StopQuery& stop,
                 const std::function<Status(const FollowedEye&)>& keep = {});

}  // namespace afterscope
