// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/plan_change.hpp"
#include "annotate/jobs/series/series_options.hpp"
#include "annotate/jobs/series/series_outcome_table.hpp"
#include "annotate/report/report_page.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <string>
#include <vector>

namespace afterscope {

// The usual figures and cumulative sums with the reader's changes, and the folder of assets.
Status TakePlan(SeriesOptions& options, const PlanChange& change);

// What can be written of a series; the last three are of one person.
enum class SeriesPaper { kSeries, kTable, kProgress, kPortfolio, kLogbook };

// Where it is written: beside the cases, such as "progress-T-07.pdf"; signs of a code that no file name
// should have are left out.
std::string SeriesPaperPath(SeriesPaper paper, const std::string& folder, const std::string& person);

// Writes it. Blocks.
struct WrittenPaper {
  std::string path;
  PageMaker pages;  // as they are in the file; empty for a table
};
Result<WrittenPaper> WriteSeriesPaper(SeriesPaper paper, const std::string& folder, SeriesOptions options,
                                      const PlanChange& change, const Progress& progress,
                                      const StopQuery& stop, FileSystem& files = RealFileSystem());

// What a table brought in.
struct TakenTable {
  std::vector<OutcomeRow> of_open_case;  // not written: the case that is open is changed through its desk
  std::string words;                     // how many cases, and what was left out
};

// A table of outcomes and fields of the cases' own (annotate/jobs/series/series_outcome_table.hpp), written
// into the cases of the folder. Blocks.
Result<TakenTable> TakeOutcomeTable(const std::string& path, const std::string& folder,
                                    const std::string& open_folder, const Progress& progress,
                                    const StopQuery& stop, FileSystem& files = RealFileSystem());

}  // namespace afterscope
