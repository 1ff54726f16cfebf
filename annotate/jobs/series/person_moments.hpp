// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/score_sheet.hpp"
#include "annotate/jobs/series/series_model.hpp"
#include "annotate/report/series/person_reports.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/time.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A moment that a progress report may show.
struct WorthyMoment {
  Moment moment;
  bool is_best = false;  // else instructive
  std::string score;     // of which it is evidence, "ITEM: LEVEL"; may be empty
};

// Best: evidence of a score at the top of its item's scale, and neither a complication nor evidence of one at
// the foot. Instructive: complications, teaching points that are not among the best, evidence of a score at
// the foot. In the order of the review. Scores of other sheets than these are passed over.
std::vector<WorthyMoment> WorthyMoments(const Review& review, const std::vector<ScoreSheet>& sheets);

// A case of the person with the review that counts.
struct CountedCase {
  const SeriesCase* entry = nullptr;
  CaseRecord record;
  Review review;
};

// Puts the best and the most instructive moments into the record, at most six of each: those of recordings
// that are at hand first, as they have pictures, then the latest ones. Blocks.
void TakeMoments(std::vector<CountedCase> cases, const std::string& assets_folder, const Progress& progress,
                 const StopQuery& stop, FileSystem& files, PersonRecord& person);

}  // namespace afterscope
