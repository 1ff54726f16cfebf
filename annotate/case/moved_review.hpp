// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"

#include <functional>

namespace afterscope {

// A review of other copies of the same recordings: every place in time goes through `place`, every position
// in a picture of a recording through `spot`. What is derived (drafts) or spoken stays as it is but for its
// place.
Review MovedReview(Review review, const std::function<FrameRef(FrameRef)>& place,
                   const std::function<PointPx(int recording, PointPx)>& spot);

}  // namespace afterscope
