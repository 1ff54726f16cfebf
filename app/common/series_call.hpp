// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_options.hpp"
#include "annotate/jobs/series/update_index.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace afterscope {

// What the commands over many cases share: the folder, the index, and which cases are looked at.
struct SeriesCall {
  std::string folder;
  std::string index;  // file; empty: the user's own
  SeriesFilter filter;
  std::vector<std::string> fields;  // NAME=VALUE of a case's own fields
};

// Adds DIR and --index alone.
void AddFolderOptions(CLI::App& sub, SeriesCall& call);
// Adds DIR, --index and the filters to a sub-command.
void AddSeriesOptions(CLI::App& sub, SeriesCall& call);

// Checks the filter, opens the index and brings it up to date with the folder; says on standard error which
// cases can't be read. kUnreadable where the folder holds no case.
Result<CurrentIndex> OpenUpToDate(SeriesCall& call);

}  // namespace afterscope
