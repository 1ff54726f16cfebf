// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/series_outcome_table.hpp"

#include "annotate/case/text.hpp"
#include "annotate/store/case_session.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <utility>

namespace afterscope {
namespace {

constexpr std::string_view kOutcome = "outcome.";
constexpr std::string_view kExtra = "extra.";

// A column that is taken.
struct KnownColumn {
  std::size_t column;
  std::string field;  // in `extra`
  std::string kind;   // "number", "date" or "words"
};

std::string Without(std::string_view prefix, const std::string& head) {
  return head.starts_with(prefix) ? head.substr(prefix.size()) : head;
}

const NamedKey* Find(const std::vector<NamedKey>& known, const std::string& key) {
  const auto found =
      std::find_if(known.begin(), known.end(), [&](const NamedKey& entry) { return entry.key == key; });
  return found == known.end() ? nullptr : &*found;
}

std::optional<KnownColumn> ColumnFrom(std::size_t column, const std::string& head,
                                      const KnownColumns& known) {
  const std::string name = Without(kExtra, head);
  const std::string key = Without(kOutcome, name);
  if (const NamedKey* outcome = Find(known.outcomes, key))
    return KnownColumn{column, std::string(kOutcome) + key, outcome->definition};
  if (const NamedKey* field = Find(known.fields, name)) return KnownColumn{column, name, field->definition};
  if (name.size() < head.size() && !name.empty()) return KnownColumn{column, name, "words"};
  return std::nullopt;
}

std::vector<KnownColumn> ColumnsOf(const TextTable& table, const KnownColumns& known, std::size_t of_case,
                                   std::vector<std::string>& cautions) {
  std::vector<KnownColumn> columns;
  for (std::size_t i = 0; i < table.header.size(); ++i) {
    if (i == of_case) continue;
    if (auto column = ColumnFrom(i, table.header[i], known))
      columns.push_back(std::move(*column));
    else
      cautions.push_back(
          fmt::format("Column '{}' is no outcome or field of assets/outcomes.json and was left out; as a "
                      "field of the cases' own it is called 'extra.{}'.",
                      table.header[i], table.header[i]));
  }
  return columns;
}

bool Fits(const std::string& text, const std::string& kind) {
  if (kind == "number") return NumberFrom(text).has_value();
  return kind != "date" || IsDate(text);
}

std::string KindWords(const std::string& kind) { return kind == "date" ? "date (YYYY-MM-DD)" : kind; }

std::vector<std::pair<std::string, std::string>> FieldsOf(const TextTable& table, std::size_t row,
                                                          const std::vector<KnownColumn>& columns,
                                                          std::vector<std::string>& cautions) {
  std::vector<std::pair<std::string, std::string>> fields;
  for (const auto& [column, field, kind] : columns) {
    const std::string& text = table.Cell(row, column);
    if (text.empty()) continue;
    if (Fits(text, kind))
      fields.emplace_back(field, text);
    else
      cautions.push_back(fmt::format("Line {}: '{}' is no {} for '{}' and was left out.", table.lines[row],
                                     text, KindWords(kind), field));
  }
  return fields;
}

// Which cases a row is of: the one of a code, or all of a person.
class CasesOfRows {
 public:
  CasesOfRows(const std::vector<IndexCase>& cases, bool by_operator) : by_operator_(by_operator) {
    for (const IndexCase& entry : cases)
      by_name_.emplace(by_operator ? entry.operator_code : entry.code, &entry);
  }
  std::vector<const IndexCase*> Of(const std::string& name, int line,
                                   std::vector<std::string>& cautions) const {
    std::vector<const IndexCase*> found;
    const auto [first, last] = by_name_.equal_range(name);
    for (auto entry = first; entry != last; ++entry) found.push_back(entry->second);
    if (name.empty()) found.clear();
    if (found.empty())
      cautions.push_back(by_operator_ ? fmt::format("Line {}: there is no case of operator '{}'.", line, name)
                                      : fmt::format("Line {}: there is no case '{}'.", line, name));
    if (found.size() > 1 && !by_operator_) {
      cautions.push_back(fmt::format("Line {}: {} cases have the code '{}'.", line, found.size(), name));
      found.clear();
    }
    return found;
  }

 private:
  bool by_operator_;
  std::multimap<std::string, const IndexCase*> by_name_;
};

}  // namespace

Result<KnownColumns> LoadKnownColumns(const std::string& assets_folder, FileSystem& files) {
  KnownColumns known;
  const std::string path = assets_folder + "/outcomes.json";
  AFTERSCOPE_ASSIGN(known.outcomes, LoadNamedKeys(path, "outcomes", files));
  AFTERSCOPE_ASSIGN(known.fields, LoadNamedKeys(path, "fields", files));
  return known;
}

Result<EditGroup> KnownFieldEdit(const NamedKey& known, const std::string& field, const std::string& text) {
  const std::string trimmed(Trimmed(text));
  if (!trimmed.empty() && !Fits(trimmed, known.definition))
    return Error{ErrorCode::kBadCall, fmt::format("'{}' is no {} for '{}': the case stays as it was.",
                                                  trimmed, KindWords(known.definition), known.name)};
  return EditGroup{known.name, {SetCaseField{std::string(kExtra) + field, trimmed}}};
}

Result<OutcomeTable> OutcomesFromTable(const TextTable& table, const KnownColumns& known,
                                       const std::vector<IndexCase>& cases) {
  const auto by_case = table.Column("case");
  const auto of_case = by_case ? by_case : table.Column("operator");
  if (!of_case)
    return Error{ErrorCode::kBadCall,
                 fmt::format("'{}' has neither a column 'case' with the codes of the cases nor a column "
                             "'operator' with those of people.",
                             table.name)};
  OutcomeTable out;
  const std::vector<KnownColumn> columns = ColumnsOf(table, known, *of_case, out.cautions);
  if (columns.empty())
    return Error{
        ErrorCode::kBadCall,
        fmt::format("'{}' has no column with an outcome or field of assets/outcomes.json.", table.name)};
  const CasesOfRows of_rows(cases, !by_case);
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const auto of_row = of_rows.Of(table.Cell(i, *of_case), table.lines[i], out.cautions);
    if (of_row.empty()) continue;
    const auto fields = FieldsOf(table, i, columns, out.cautions);
    if (fields.empty()) continue;
    for (const IndexCase* entry : of_row) out.rows.push_back({entry->code, entry->folder, fields});
  }
  return out;
}

EditGroup OutcomeEdits(const OutcomeRow& row, const CaseRecord& record) {
  EditGroup group{"Outcomes", {}};
  for (const auto& [name, text] : row.fields) {
    const auto before = record.extra.find(name);
    if (before == record.extra.end() || before->second != text)
      group.edits.emplace_back(SetCaseField{std::string(kExtra) + name, text});
  }
  return group;
}

Result<int> KeepOutcomes(const OutcomeTable& table, FileSystem& files) {
  int changed = 0;
  for (const OutcomeRow& row : table.rows) {
    AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(row.folder, {}, files));
    const EditGroup group = OutcomeEdits(row, session->record());
    if (group.edits.empty()) continue;
    AFTERSCOPE_TRY(session->Commit(group));
    ++changed;
  }
  return changed;
}

}  // namespace afterscope
