// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_options.hpp"
#include "annotate/store/index/case_index.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What a person did in a case.
enum class LogbookPart {
  kPerformed,   // operated, nobody else had the instruments
  kPart,        // operated a part: others operated too
  kAssisted,    // named as `assistant` among the case's own fields
  kSupervised,  // the case's supervisor, whether or not the instruments were taken
};

struct LogbookEntry {
  std::string date, code, operation, eye, operator_code, supervisor_code, supervision_level;
  LogbookPart part = LogbookPart::kPerformed;
  double own_s = 0;    // that person's step time
  double total_s = 0;  // all step time
  std::vector<std::string> difficulty;
  std::vector<std::string> complications;  // keys, whoever operated then
  bool complications_known = false;
  std::string folder;
};

// A person's cases in or under a folder, in order of date; `filter.operator_code` says whose, the rest of the
// filter which. A case in which that person had no part is left out. kNotComputable where nothing is left.
Result<std::vector<LogbookEntry>> LogbookOf(CaseIndex& index, const std::string& folder,
                                            const SeriesFilter& filter);

// "performed", "part performed", "assisted", "supervised".
const char* PartWords(LogbookPart part);

// As a table after RFC 4180 with a header line: date, case, operation, eye, part, operator, supervisor,
// supervision, own_share_pct, own_minutes, difficulty, complications ("not known" where nobody said).
std::string CsvFromLogbook(const std::vector<LogbookEntry>& entries);

}  // namespace afterscope
