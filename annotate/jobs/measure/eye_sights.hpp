// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/measure/measure_context.hpp"

#include <vector>

namespace afterscope {

// What is counted of a followed eye, by the findings and by the curves over time alike.

struct PupilSeen {
  const EyeSight* sight;
  double seconds;  // of the case clock
};
// Sights on which the pupil is trusted, in order of time; without single ones that differ from all
// their neighbours by an eighth, which are errors of finding.
std::vector<PupilSeen> PupilSights(const MeasureContext& context, const FollowedEye& eye);

struct EyeOff {
  FrameRef at;
  OffsetPx offset;  // from the middle of the picture to the limbus' centre, in pixels of the reference frame
};
// Of the frames on which the eye's place is trusted, in order of time.
std::vector<EyeOff> EyesOff(const MeasureContext& context, const FollowedEye& eye);

// The limbus' radius on the reference frame, in square pixels.
double ReferenceRadius(const FollowedEye& eye);

// Common practice, no source: the eye is off the centre where the middle of the limbus is farther from that
// of the picture than this share of the limbus' radius.
constexpr double kOffCentreRadii = 0.5;

}  // namespace afterscope
