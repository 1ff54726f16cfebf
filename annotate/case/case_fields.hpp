// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// The fields of a case as text, by their names in case.json. Besides the names of CaseFieldNames():
// "consent.PURPOSE" ("given", "not given" or "withdrawn", each optionally followed by " until DATE") and
// "extra.NAME". `difficulty` is a list separated by ';'. Numbers have a point and the unit in the field's
// name.

// The names of the fixed fields, in the order of case.json.
const std::vector<std::string>& CaseFieldNames();

// A field's text, empty where unset; kBadCall for an unknown field.
Result<std::string> CaseFieldText(const CaseRecord& record, const std::string& field);
// Sets it; an empty text unsets it. Refuses what is no value of that field, and leaves the record as it was
// then.
Status SetCaseFieldText(CaseRecord& record, const std::string& field, const std::string& text);

// "reviewer_code", "kind" ("formative", "formal"), "self_review" ("yes", "no"), "blinding" ("open",
// "blinded", "lifted"). Kind and self_review of a later version are those of the first.
const std::vector<std::string>& ReviewFieldNames();
Result<std::string> ReviewFieldText(const Review& review, const std::string& field);
Status SetReviewFieldText(Review& review, const std::string& field, const std::string& text);

}  // namespace afterscope
