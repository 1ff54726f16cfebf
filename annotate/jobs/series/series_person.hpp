// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"
#include "annotate/report/series/person_reports.hpp"
#include "annotate/store/index/case_index.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <string>

namespace afterscope {

// What a person's reports need besides the figures: goals and words from the reviews that count, the best and
// the most instructive moments with pictures where recordings are at hand (person_moments.hpp), logbook and
// outcomes. `model.filter.operator_code` says whose; kBadCall without it.
Result<PersonRecord> GatherPerson(CaseIndex& index, const SeriesModel& model,
                                  const std::string& assets_folder, const Progress& progress,
                                  const StopQuery& stop, FileSystem& files = RealFileSystem());

}  // namespace afterscope
