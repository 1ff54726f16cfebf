// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/step_list.hpp"
#include "annotate/jobs/phantom/truth_compare.hpp"
#include "annotate/jobs/verify/picture_check.hpp"
#include "annotate/jobs/verify/verify_plan.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What came out of one phantom.
struct VerifiedPhantom {
  std::string name, difficulty, recorded;
  std::size_t frames = 0;
  std::size_t tips_by_hand = 0;      // set by the simulated reviewer ...
  std::size_t tips_followed = 0;     // ... and how many frames were followed from them
  std::vector<Comparison> findings;  // measured beside true
  std::vector<PictureCheck> pictures;
};

// The simulated reviewer: what it marks is the only way by which anything of the truth gets into the case.
// Every point is off by its own error, every outline by one of its own, as the limits take it by default.
inline constexpr double kReviewerPointSdPx = 1.5, kReviewerSharedSdPx = 1.0;

// The list by which it is measured: that list, with the tip asked to stay within half of the limbus' radius
// during the rhexis, the one step of which enough is recorded.
StepList VerifySteps(StepList steps);

// Renders and encodes the phantom into `folder` (which exists) as two files, from the first cut to the
// completed rhexis and the last seconds of the operation, makes a case of it, has it tagged and marked by the
// simulated reviewer, finds and follows the eye (without a click) and the forceps' tip (from a place every
// four seconds and, in two rounds, on the frames that the program itself believes least), measures from the
// files alone, and compares. Errors: what a part of the chain says; kStopped.
Result<VerifiedPhantom> RunPhantom(const VerifyPhantom& plan, const std::string& folder,
                                   const StepList& steps, const Progress& progress, const StopQuery& stop,
                                   FileSystem& files = RealFileSystem());

}  // namespace afterscope
