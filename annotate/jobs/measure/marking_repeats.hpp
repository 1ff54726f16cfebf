// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/marking_error.hpp"

#include <string>
#include <vector>

namespace afterscope {

// How far repeated marks of the same thing lie apart, pooled over all things that were marked more than once:
// sums of squares with their degrees of freedom (Bland and Altman 1996, BMJ 313:744), square pixels.
struct MarkingRepeats {
  int outlines = 0;  // that were marked again, and ...
  int tips = 0;      // ... positions of tips
  double point_squares = 0, point_degrees = 0;
  double shared_squares = 0, shared_degrees = 0;
};

// Of all reviews together: outlines of one kind (and stage) with eight points or more on one frame, whoever
// marked them, copies left out, and of what versions of one review hold under one id only that of
// `reviews.back()`, which is measured, else the newest; positions of a tip set by hand on one frame in trails
// of the same instrument and hand in different reviews. Of the outlines on a frame, a curve and a distance of
// each from it are fitted together; what is left differs from point to point, the distances are what is
// shared.
MarkingRepeats FindRepeats(const CaseRecord& record, const std::vector<const Review*>& reviews);

// The marking error from them. The usual one counts as four degrees of freedom beside them, so that a single
// pair of outlines does not rule; without repeats it is what comes back.
MarkingError ErrorFromRepeats(const MarkingError& usual, const MarkingRepeats& repeats);

// For the method of a finding; empty without repeats.
std::string SayMarkingError(const MarkingError& error, const MarkingRepeats& repeats);

}  // namespace afterscope
