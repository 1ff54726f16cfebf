// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review_access.hpp"

namespace afterscope {

// A review of a list: what the tests of reviewing fairly tell apart.
inline ReviewSummary Listed(const char* id, const char* code, bool is_signed = false,
                            Blinding blinding = Blinding::kOpen, bool is_self = false,
                            ReviewKind kind = ReviewKind::kFormative) {
  ReviewSummary review;
  review.id = {id};
  review.version_of = {id};
  review.reviewer_code = code;
  review.is_signed = is_signed;
  review.signed_at = is_signed ? "2026-03-04T10:00:00Z" : "";
  review.blinding = blinding;
  review.is_self = is_self;
  review.kind = kind;
  review.is_touched = true;
  return review;
}

}  // namespace afterscope
