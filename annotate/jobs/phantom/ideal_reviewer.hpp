// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "annotate/case/edit.hpp"
#include "annotate/jobs/phantom/phantom_recording.hpp"
#include "metrics/phantom/phantom.hpp"

namespace afterscope {

struct ReviewerOptions {
  double marking_sd_px = 1.5;   // of each marked point, in x and in y, square pixels
  double hidden_factor = 2.5;   // what is guessed under a lid is that much worse
  int limbus_points = 16;
  int pupil_points = 14;
  int rhexis_points = 20;
  int lens_points = 16;
  double track_seconds = 0.5;   // the limbus is marked that often while a tip is followed, and where the eye jerks ...
  int track_points = 7;         // ... with that many points: too few for a scale
  std::uint64_t seed = 1;
};

// The ids that the ideal reviewer gives, so that truth can name the marks it speaks of.
namespace marked {
inline const MarkId kLimbus{"limbus"};
inline const MarkId kPupil{"pupil"};
inline const MarkId kRhexis{"rhexis"};
inline const MarkId kMainIncision{"main-incision"};
inline const MarkId kSidePort{"side-port"};
inline const MarkId kLimbusAtEnd{"limbus-end"};
inline const MarkId kPupilAtEnd{"pupil-end"};
inline const MarkId kRhexisOverOptic{"rhexis-over-optic"};
inline const MarkId kLensEdge{"lens-edge"};
inline const TrailId kRhexisTrail{"rhexis-tip"};
inline const ScaleId kScale{"scale"};
inline const ScaleId kScaleAtEnd{"scale-end"};
}  // namespace marked

// The instants at which the reviewer marks: the completed rhexis, and the lens in its place.
double CompletionInstant(const phantom::Script& script);
double FinalInstant(const phantom::Script& script);

// Steps and take-overs at the true frames. `supervisor` is the code of who takes over.
EditGroup TagSteps(const phantom::Script& script, const PhantomFrames& frames, const std::string& supervisor);
// Outlines, incisions and scales, each point off by the marking error.
EditGroup MarkOutlines(const phantom::Phantom& phantom, const PhantomFrames& frames, const ReviewerOptions& options);
// The forceps' tip on every frame of the rhexis in which it is in the eye, and the limbus to go with it.
EditGroup MarkTrail(const phantom::Phantom& phantom, const PhantomFrames& frames, const ReviewerOptions& options);

}  // namespace afterscope
