// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"
#include "annotate/store/index/case_index.hpp"
#include "metrics/base/result.hpp"

#include <map>
#include <string>
#include <vector>

namespace afterscope {

// The cases that pass, with the review that counts of each and that review's visits and complications.
struct SelectedCases {
  std::vector<SeriesCase> cases;                // in order of date
  std::vector<std::vector<IndexVisit>> visits;  // of each
  std::vector<IndexCase> records;               // of each
};

Result<SelectedCases> SelectCases(CaseIndex& index, const std::string& folder, const SeriesOptions& options);

// Whether a case passes what the filter says of its record.
bool PassesRecord(const SeriesFilter& filter, const IndexCase& record);
// The review that counts of a case, or null where none passes.
const IndexReview* ReviewThatCounts(const SeriesFilter& filter, const IndexCase& record);

// Which group a case belongs to under `by` of SeriesOptions; empty: none.
std::string GroupOf(const IndexCase& record, const std::string& by);

// "routine" or "difficult": whether any difficulty was noted.
const char* StratumOf(const std::vector<std::string>& difficulty);

}  // namespace afterscope
