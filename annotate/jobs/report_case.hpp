// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/score_sheet.hpp"
#include "annotate/jobs/measure.hpp"
#include "annotate/report/report_model.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

struct ReportCaseOptions {
  std::string assets_folder;
  std::string program_version;
  std::vector<std::string>
      earlier_folders;  // where earlier cases are looked for; empty: the folder that holds the case
  std::optional<ReviewId> review;  // empty: as CaseSession::Open chooses
  std::string today;               // ISO 8601 date, for delete-by dates; empty: that of UTC
  MeasureOptions measure;
};

// The report of a case folder: opens it for reading, measures, looks for earlier cases of the same operator,
// and takes pictures from the recordings that are at hand. What is to be said of files (moved, missing, not
// to be read) is in the report a number only, since their names may be people's; the sentences are its
// `told`. What the case's consent does not reach (ConsentOfReport) is said in both.
Result<ReportModel> ReportOfCase(const std::string& case_folder, const ReportCaseOptions& options,
                                 const Progress& progress, const StopQuery& stop,
                                 FileSystem& files = RealFileSystem());

// The same for a case that is open already. `cautions`: what was said when it was opened; told already.
Result<ReportModel> ReportOfReview(const std::string& case_folder, const CaseRecord& record,
                                   const Review& review, const std::vector<std::string>& cautions,
                                   const ReportCaseOptions& options, const Progress& progress,
                                   const StopQuery& stop, FileSystem& files = RealFileSystem());

// The score sheets that a review used, as far as they can be read.
std::vector<ScoreSheet> SheetsUsed(const std::string& case_folder, const Review& review,
                                   const std::string& assets_folder, FileSystem& files = RealFileSystem());

}  // namespace afterscope
