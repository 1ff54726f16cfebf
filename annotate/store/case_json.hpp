// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/store/json_text.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// The members of FORMAT.md, section Case. Every known member is written, so that one that is missing in a new
// text but there in an old one is an unknown member.
Json JsonFrom(const CaseRecord& record);
Json JsonFrom(const std::vector<RecordingRef>& recordings);
Json JsonFrom(const SignedReview& review);

void ReadItem(const Json& json, SignedReview& review, std::string& problem);

// Refuses wrong types and what SetCaseField or SetRecordings would refuse; `what` names the text in the
// sentence.
Result<CaseRecord> CaseRecordFrom(const Json& json, const std::string& what);
Result<std::vector<RecordingRef>> RecordingsFrom(const Json& json, const std::string& what);

}  // namespace afterscope
