// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/followed.hpp"

#include <string>

namespace afterscope {

// SHA-256 (hex) of what a result was made from, so that one that no longer holds is known: the recording, and
// for the eye the frame and outlines it starts from; for a trail its hand-set points and marked gaps within
// the stretch, and the eye it was followed on.
std::string EyeDigest(const CaseRecord& record, const FollowedEye& eye);
std::string TrailDigest(const CaseRecord& record, const Trail& trail, const FollowedTrail& followed,
                        const FollowedEye* eye);

// What the hand said on a frame, as digests hold it.
std::string HandPlace(const TrailPoint& point);

// The results that still hold for the case and review as they are. `outdated` (if given) gets one sentence
// for each other one.
Followed CurrentOf(const Followed& followed, const CaseRecord& record, const Review& review,
                   std::vector<std::string>* outdated);

// The eye of that recording; null if there is none.
const FollowedEye* EyeOf(const Followed& followed, int recording);

}  // namespace afterscope
