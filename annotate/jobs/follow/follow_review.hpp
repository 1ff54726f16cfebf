// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/followed.hpp"
#include "annotate/jobs/follow/follow_trail.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

struct FollowRequest {
  std::optional<TrailId> trail;  // only this one, and the eye while it lasts; none: all
  // The eye; of the trails only those that were followed before and don't hold for it any more.
  bool only_eye = false;
  std::optional<FrameRef> from, to;
  // Called for each picture on which the tip was looked for, on the thread of the job; may be empty.
  WatchTip watch;
};

struct FollowOutcome {
  Followed followed;  // all that holds for the case now, what was there before included
  std::vector<std::string> cautions;
};

// Follows the eye through the recordings, then the instruments between their hand-set points, and keeps the
// results in the review's folder. A trail is followed within the steps (of lane 0) in which its first and
// last hand-set points lie; outside of any step, ten seconds beyond them. What was followed before and still
// holds is not followed again; where an eye is to be followed from an earlier frame on than before, it is
// against the same reference frame, so that trails hold. Errors: kBadCall for an unknown trail or an empty
// stretch; kUnreadable if no recording can be read; kNotComputable if neither an eye nor a tip could be
// followed; kUnwritable; kStopped (what was found is kept, and the same call goes on from there).
Result<FollowOutcome> FollowReview(const std::string& case_folder, const CaseRecord& record,
                                   const Review& review, const FollowRequest& request,
                                   const Progress& progress, const StopQuery& stop,
                                   FileSystem& files = RealFileSystem());

}  // namespace afterscope
