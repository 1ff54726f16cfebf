// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/exchange/delimited_text.hpp"
#include "annotate/store/index/case_index.hpp"
#include "annotate/store/step_list_file.hpp"
#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// What is known of cases beside their reviews: outcomes, which are fields extra.outcome.KEY, and a case's own
// fields extra.KEY by which series are grouped and counted, such as the day of the operator's course. Which
// there are says assets/outcomes.json.
struct KnownColumns {
  std::vector<NamedKey> outcomes;
  std::vector<NamedKey> fields;
};
Result<KnownColumns> LoadKnownColumns(const std::string& assets_folder, FileSystem& files = RealFileSystem());

// What a field of a case's own, named as in `extra`, has to be where the program knows it: an outcome, a
// field, or the window ("window") or day of a follow-up. None: it is free.
std::optional<NamedKey> KnownField(const KnownColumns& known, const std::string& name);

// Sets one of them from what was typed; an empty text takes it away. `field`: its name in `extra`. kBadCall
// for a text that is no number within its limits, date or window of time where one is meant. What a case
// holds already is not asked.
Result<EditGroup> KnownFieldEdit(const NamedKey& known, const std::string& field, const std::string& text);

struct OutcomeRow {
  std::string code;
  std::string folder;                                       // of the case
  std::vector<std::pair<std::string, std::string>> fields;  // name in `extra`, text; empty ones are left out
};

struct OutcomeTable {
  std::vector<OutcomeRow> rows;
  std::vector<std::string> cautions;  // columns and rows that were left out, and why
};

// A table with a column `case` (the case's code) or, for what is the same in all cases of a person,
// `operator`, and columns named as the known ones or `extra.NAME` for any other field of a case's own. A row
// whose code no case has, or more than one, is left out and told; so is a cell that KnownFieldEdit would
// refuse. Numbers may have a decimal comma (WithDecimalPoint). Lines of one name are put together: where they
// say different things, the later one counts, and that is told. Each case stands in one row. kBadCall without
// a column for the case and without any that is known.
Result<OutcomeTable> OutcomesFromTable(const TextTable& table, const KnownColumns& known,
                                       const std::vector<IndexCase>& cases);

// What a row changes in its case; without edits where all is so already.
EditGroup OutcomeEdits(const OutcomeRow& row, const CaseRecord& record);

// Writes them into the cases, each as one change that can be undone. Returns how many cases changed.
Result<int> KeepOutcomes(const OutcomeTable& table, FileSystem& files = RealFileSystem());

}  // namespace afterscope
