// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/jobs/phantom/phantom_recording.hpp"
#include "metrics/phantom/phantom.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

struct ReviewerOptions {
  double marking_sd_px = 1.5;  // of each marked point, in x and in y, square pixels
  double shared_sd_px = 0;     // of a whole outline, read too far out or in
  double hidden_factor = 2.5;  // what is guessed under a lid is that much worse
  // A careful reviewer who wants a rhexis to 1.5 % sets a point every nine degrees: with few points the
  // marking error alone is more than that.
  int limbus_points = 40;
  int pupil_points = 24;
  int rhexis_points = 40;
  int lens_points = 24;
  // While a tip is followed, the eye moves too, and what is not known of it would count as path: the limbus
  // is marked five times a second and where the eye jerks, with as many points as for a scale.
  double track_seconds = 0.2;
  int track_points = 40;
  // Of the grasps of the flap: which share is overlooked, and how many are marked that are none, each.
  double grasp_error = 0.05;
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
EditGroup MarkOutlines(const phantom::Phantom& phantom, const PhantomFrames& frames,
                       const ReviewerOptions& options);
// Each grasp of the flap on the frame that shows it first, with the errors that reviewers are taken to make.
EditGroup MarkGrasps(const phantom::Phantom& phantom, const PhantomFrames& frames,
                     const ReviewerOptions& options);
// The forceps' tip on every frame of the rhexis in which it is in the eye, and the limbus to go with it.
EditGroup MarkTrail(const phantom::Phantom& phantom, const PhantomFrames& frames,
                    const ReviewerOptions& options);

// The same trail with the tip set on those frames alone, to be followed from there; frames on which the tip
// is not in the eye are passed over. `round` tells errors of one round of setting from those of another.
Trail SetTips(const phantom::Phantom& phantom, const PhantomFrames& frames, const ReviewerOptions& options,
              const std::vector<FrameRef>& at, std::uint64_t round);

}  // namespace afterscope
