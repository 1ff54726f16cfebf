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
  // Cases that the filter would let pass, but ...
  int without_review = 0;  // no review of theirs counts
  int handed_over = 0;     // they were made from others of the series
};

// The cases in or under a folder, in order of date. One that was handed over, made from a signed review of
// another one here, would count twice and stands apart.
struct SeriesRecords {
  std::vector<IndexCase> cases;
  std::vector<IndexCase> handed_over;
};
Result<SeriesRecords> RecordsUnder(CaseIndex& index, const std::string& folder);

// The review that counts of a case, by the rules of ReviewForFigures among those of the filter's reviewer: of
// the filter's kind, formative ones where it names none, so that a series is of one kind. Null where none
// counts.
const IndexReview* ReviewThatCounts(const SeriesFilter& filter, const IndexCase& record);
// For what is said of each case by itself: a formal one where the filter names no kind and no formative one
// counts.
const IndexReview* ReviewOfEither(const SeriesFilter& filter, const IndexCase& record);

using ChooseIndexReview = const IndexReview* (*)(const SeriesFilter&, const IndexCase&);
Result<SelectedCases> SelectCases(CaseIndex& index, const std::string& folder, const SeriesOptions& options,
                                  ChooseIndexReview choose = ReviewThatCounts);

// Whether a case passes what the filter says of its record.
bool PassesRecord(const SeriesFilter& filter, const IndexCase& record);

// kBadCall for a day to part cases by that is none.
Status CheckGroups(const std::string& by);
// Which group a case belongs to under `by` of SeriesOptions; empty: none.
std::string GroupOf(const IndexCase& record, const std::string& by);

// "routine" or "difficult": whether any difficulty was noted.
const char* StratumOf(const std::vector<std::string>& difficulty);

}  // namespace afterscope
