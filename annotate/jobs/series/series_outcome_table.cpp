// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/series_outcome_table.hpp"

#include "annotate/case/text.hpp"
#include "annotate/store/case_session.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <utility>

namespace afterscope {
namespace {

struct OutcomeColumn {
  std::size_t column;
  NamedKey outcome;
};

std::string WithoutPrefix(const std::string& head) {
  constexpr std::string_view kPrefix = "outcome.";
  return head.starts_with(kPrefix) ? head.substr(kPrefix.size()) : head;
}

std::vector<OutcomeColumn> ColumnsOf(const TextTable& table, const std::vector<NamedKey>& known,
                                     std::size_t case_column, std::vector<std::string>& cautions) {
  std::vector<OutcomeColumn> columns;
  for (std::size_t i = 0; i < table.header.size(); ++i) {
    if (i == case_column) continue;
    const std::string key = WithoutPrefix(table.header[i]);
    const auto found =
        std::find_if(known.begin(), known.end(), [&](const NamedKey& outcome) { return outcome.key == key; });
    if (found != known.end())
      columns.push_back({i, *found});
    else
      cautions.push_back(fmt::format("Column '{}' is no outcome of assets/outcomes.json and was left out.",
                                     table.header[i]));
  }
  return columns;
}

OutcomeRow RowFrom(const TextTable& table, std::size_t row, const std::vector<OutcomeColumn>& columns,
                   std::vector<std::string>& cautions) {
  OutcomeRow out;
  for (const auto& [column, outcome] : columns) {
    const std::string& text = table.rows[row][column];
    if (text.empty()) continue;
    if (outcome.definition == "number" && !NumberFrom(text))
      cautions.push_back(fmt::format("Line {}: '{}' is no number for '{}' and was left out.",
                                     table.lines[row], text, outcome.key));
    else
      out.outcomes.emplace_back(outcome.key, text);
  }
  return out;
}

}  // namespace

Result<OutcomeTable> OutcomesFromTable(const TextTable& table, const std::vector<NamedKey>& known,
                                       const std::vector<IndexCase>& cases) {
  const auto case_column = table.Column("case");
  if (!case_column)
    return Error{ErrorCode::kBadCall,
                 fmt::format("'{}' has no column 'case' with the codes of the cases.", table.name)};
  OutcomeTable out;
  const std::vector<OutcomeColumn> columns = ColumnsOf(table, known, *case_column, out.cautions);
  if (columns.empty())
    return Error{ErrorCode::kBadCall,
                 fmt::format("'{}' has no column with an outcome of assets/outcomes.json.", table.name)};
  std::multimap<std::string, std::string> folders;
  for (const IndexCase& entry : cases) folders.emplace(entry.code, entry.folder);
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const std::string& code = table.rows[i][*case_column];
    const auto count = folders.count(code);
    if (count != 1) {
      out.cautions.push_back(
          count == 0 ? fmt::format("Line {}: there is no case '{}'.", table.lines[i], code)
                     : fmt::format("Line {}: {} cases have the code '{}'.", table.lines[i], count, code));
      continue;
    }
    OutcomeRow row = RowFrom(table, i, columns, out.cautions);
    row.code = code;
    row.folder = folders.find(code)->second;
    if (!row.outcomes.empty()) out.rows.push_back(std::move(row));
  }
  return out;
}

Result<int> KeepOutcomes(const OutcomeTable& table, FileSystem& files) {
  int changed = 0;
  for (const OutcomeRow& row : table.rows) {
    AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(row.folder, {}, files));
    EditGroup group{"Outcomes", {}};
    for (const auto& [key, text] : row.outcomes) {
      const std::string name = "outcome." + key;
      const auto before = session->record().extra.find(name);
      if (before == session->record().extra.end() || before->second != text)
        group.edits.emplace_back(SetCaseField{"extra." + name, text});
    }
    if (group.edits.empty()) continue;
    AFTERSCOPE_TRY(session->Commit(group));
    ++changed;
  }
  return changed;
}

}  // namespace afterscope
