// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/exchange/delimited_text.hpp"
#include "annotate/store/index/case_index.hpp"
#include "annotate/store/step_list_file.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Outcomes are fields of a case's own, extra.outcome.KEY; which there are says assets/outcomes.json.

struct OutcomeRow {
  std::string code;
  std::string folder;                                         // of the case
  std::vector<std::pair<std::string, std::string>> outcomes;  // key, text; empty texts are left out
};

struct OutcomeTable {
  std::vector<OutcomeRow> rows;
  std::vector<std::string> cautions;  // columns and rows that were left out, and why
};

// A table with a column `case` (the case's code) and columns named as outcomes. A row whose code no case has,
// or more than one, is left out and told; so is a cell that is no number where one is meant. kBadCall without
// `case` or any outcome's column.
Result<OutcomeTable> OutcomesFromTable(const TextTable& table, const std::vector<NamedKey>& known,
                                       const std::vector<IndexCase>& cases);

// Writes them into the cases, each as one change that can be undone. Returns how many cases changed.
Result<int> KeepOutcomes(const OutcomeTable& table, FileSystem& files = RealFileSystem());

}  // namespace afterscope
