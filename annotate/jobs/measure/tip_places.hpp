// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/measure/marked_eye.hpp"
#include "annotate/jobs/measure/measure_context.hpp"
#include "metrics/eye/eye_ellipse.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

struct TipInStep;

// Where the eye lies in the pictures of a stretch of one recording: the limbus' ellipse as the image of a
// unit circle. From the followed eye (turns and zoom are taken out), else from limbus outlines marked on both
// sides of the stretch (their middles interpolated; size and shape of the one nearest to the middle of the
// stretch).
class LimbusInPictures {
 public:
  // Seconds of the case clock.
  LimbusInPictures(const MeasureContext& context, int recording, double from, double to);

  // Where a point of the picture lies: from the limbus' centre, the limbus itself at length 1. Empty where
  // the eye is not known.
  std::optional<OffsetSq> InLimbus(PointSq p, double seconds) const;
  // The other way round.
  std::optional<PointSq> InPicture(OffsetSq in_limbus, double seconds) const;
  // How far the ellipse may be off: standard deviations of its centre along each axis and of its radius,
  // as shares of that radius.
  struct Error {
    double centre = 0, radius = 0;
  };
  // What of it a finding of that part says it came from.
  void NoteIn(TipInStep& part) const;

 private:
  const EyeTrack* followed_ = nullptr;
  std::optional<MarkedEye> marked_;
  EllipseMap limbus_;  // on the reference frame; of a marked eye round (0, 0)
  double radius_ = 0;  // mean; square pixels
  Error error_;
};

// A place of a tip within a step.
struct TipPlace {
  FrameRef at;
  double seconds = 0;  // on the case clock
  double lasts = 0;    // seconds of the trail that it stands for: half of those to its neighbours
  OffsetSq in_limbus;
};

// A trail during the visits of one step (first lane) in one recording.
struct TipInStep {
  std::string step;
  int recording = 0;
  std::vector<TipPlace> places;  // in order of time
  double eye_unknown = 0;        // seconds left out because the eye is not known there
  double radius = 0;             // of the limbus, square pixels; 0 where it is not known
  LimbusInPictures::Error error;
  std::vector<const Mark*> marks;    // that the eye's place comes from
  const FollowedEye* eye = nullptr;  // the same
};
// In the order in which the steps are reached. What lies in no step is left out.
std::vector<TipInStep> TipInSteps(const MeasureContext& context, const Trail& trail);

}  // namespace afterscope
