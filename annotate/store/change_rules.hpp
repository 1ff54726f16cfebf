// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/edit.hpp"
#include "annotate/case/review.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <string>

namespace afterscope {

// What a change of a case must not do, whoever asks for it; each refusal (kBadCall) is one sentence.

// A recording must stay while a review besides `own` speaks of it. `record`: the case before the change.
Status CheckOtherReviews(FileSystem& files, const std::string& case_folder, const ReviewId& own,
                         const CaseRecord& record, const EditGroup& group);
// The history of a formal review that has a reviewer says who. `who`: a code; empty: not said.
Status CheckSaysWho(const Review& review, const std::string& who);
// Neither change a signed review, nor its blinding against the rules.
Status CheckReviewChange(const Review& review, const EditGroup& group);

// Whether the edits make the case's fields what they were, but for what the program found out of its
// recordings: all reviews of a case change these fields, and what another one made of them since must not be
// lost by undoing.
bool LeadsBack(const CaseRecord& now, const EditGroup& group, const CaseRecord& before);

}  // namespace afterscope
