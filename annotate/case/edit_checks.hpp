// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/edit.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>

namespace afterscope {

// Whether an edit makes sense by itself: ids, texts (clean UTF-8 of bounded length), finite numbers, points
// within 1e7 pixels, counts of points, an end after its start. Says in one sentence what does not.
Status CheckEdit(const Edit& edit);

// Whether frames lie in the recordings of the case, and points near their pictures.
Status CheckAgainstRecordings(const Edit& edit, const CaseRecord& record);

// Whether a case with that many recordings has all that the review speaks of.
Status CheckRecordingsNeeded(const Review& review, std::size_t recordings);

// What must hold between the items of a review: visits of a lane do not overlap, a scale's mark exists.
Status CheckReview(const Review& review);

}  // namespace afterscope
