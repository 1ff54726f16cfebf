// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/series_outcome_table.hpp"

#include "annotate/case/text.hpp"
#include "annotate/jobs/series/series_follow_ups.hpp"
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

constexpr std::string_view kFollowUp = "follow_up.";
constexpr std::string_view kFollowUpDone = "follow_up_done.";

// A column that is taken.
struct KnownColumn {
  std::size_t column;
  std::string field;  // in `extra`
  NamedKey known;
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
  const std::string outcome = std::string(kOutcome) + Without(kOutcome, name);
  for (const std::string& field : {outcome, name})
    if (const auto found = KnownField(known, field)) return KnownColumn{column, field, *found};
  if (name.size() < head.size() && !name.empty())
    return KnownColumn{column, name, NamedKey{name, name, "words"}};
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

std::string NumberMisfit(const std::string& text, const NamedKey& known, const std::string& called) {
  const auto number = NumberFrom(text);
  if (!number) return fmt::format("'{}' is no number for '{}'", text, called);
  if (known.least && *number < *known.least)
    return fmt::format("'{}' is less than the {} that '{}' can be at least", text, *known.least, called);
  if (known.most && *number > *known.most)
    return fmt::format("'{}' is more than the {} that '{}' can be at most", text, *known.most, called);
  return {};
}

// Why a text can't be a value of it, the beginning of a sentence; empty: it can.
std::string Misfit(const std::string& text, const NamedKey& known, const std::string& called) {
  if (known.definition == "number") return NumberMisfit(text, known, called);
  if (known.definition == "date" && !IsDate(text))
    return fmt::format("'{}' is no date (YYYY-MM-DD) for '{}'", text, called);
  if (known.definition == "window" && !IsFollowUpWindow(text))
    return fmt::format("'{}' is no window of time (YYYY-MM-DD to YYYY-MM-DD) for '{}'", text, called);
  return {};
}

std::vector<std::pair<std::string, std::string>> FieldsOf(const TextTable& table, std::size_t row,
                                                          const std::vector<KnownColumn>& columns,
                                                          std::vector<std::string>& cautions) {
  std::vector<std::pair<std::string, std::string>> fields;
  for (const auto& [column, field, known] : columns) {
    const std::string& cell = table.Cell(row, column);
    if (cell.empty()) continue;
    const auto text = known.definition == "number" ? WithDecimalPoint(table, cell) : cell;
    const std::string misfit =
        text ? Misfit(*text, known, field)
             : fmt::format("the comma of '{}' for '{}' may part decimals or thousands", cell, field);
    if (misfit.empty())
      fields.emplace_back(field, *text);
    else
      cautions.push_back(fmt::format("Line {}: {} and was left out.", table.lines[row], misfit));
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

// What a table says of one case or person, over all lines of that name.
struct SaidOfName {
  std::vector<const IndexCase*> cases;
  std::vector<std::pair<std::string, std::string>> fields;
  std::vector<int> lines;  // of each field
};

// The later line counts; what an earlier one said otherwise is told.
void TakeFields(const std::string& name, int line, std::vector<std::pair<std::string, std::string>> fields,
                SaidOfName& said, std::vector<std::string>& cautions) {
  for (auto& given : fields) {
    const auto before = std::find_if(said.fields.begin(), said.fields.end(),
                                     [&](const auto& other) { return other.first == given.first; });
    if (before == said.fields.end()) {
      said.fields.push_back(std::move(given));
      said.lines.push_back(line);
      continue;
    }
    int& at = said.lines[static_cast<std::size_t>(before - said.fields.begin())];
    if (before->second != given.second)
      cautions.push_back(fmt::format(
          "Line {}: '{}' for '{}' of '{}' was left out, since line {} says '{}' and the later line counts.",
          at, before->second, given.first, name, line, given.second));
    before->second = std::move(given.second);
    at = line;
  }
}

}  // namespace

std::optional<NamedKey> KnownField(const KnownColumns& known, const std::string& name) {
  if (name.starts_with(kFollowUp)) return NamedKey{name, name, "window"};
  if (name.starts_with(kFollowUpDone)) return NamedKey{name, name, "date"};
  const bool is_outcome = name.starts_with(kOutcome);
  const NamedKey* found =
      is_outcome ? Find(known.outcomes, Without(kOutcome, name)) : Find(known.fields, name);
  return found ? std::optional(*found) : std::nullopt;
}

Result<KnownColumns> LoadKnownColumns(const std::string& assets_folder, FileSystem& files) {
  KnownColumns known;
  const std::string path = assets_folder + "/outcomes.json";
  AFTERSCOPE_ASSIGN(known.outcomes, LoadNamedKeys(path, "outcomes", files));
  AFTERSCOPE_ASSIGN(known.fields, LoadNamedKeys(path, "fields", files));
  return known;
}

Result<EditGroup> KnownFieldEdit(const NamedKey& known, const std::string& field, const std::string& text) {
  const std::string trimmed(Trimmed(text));
  const std::string misfit = trimmed.empty() ? "" : Misfit(trimmed, known, known.name);
  if (!misfit.empty())
    return Error{ErrorCode::kBadCall, fmt::format("{}: the case stays as it was.", misfit)};
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
  std::vector<SaidOfName> all;
  std::map<std::string, std::size_t> places;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const std::string& name = table.Cell(i, *of_case);
    auto of_row = of_rows.Of(name, table.lines[i], out.cautions);
    if (of_row.empty()) continue;
    auto fields = FieldsOf(table, i, columns, out.cautions);
    if (fields.empty()) continue;
    const auto [place, is_new] = places.emplace(name, all.size());
    if (is_new) all.push_back({std::move(of_row), {}, {}});
    TakeFields(name, table.lines[i], std::move(fields), all[place->second], out.cautions);
  }
  for (const SaidOfName& said : all)
    for (const IndexCase* entry : said.cases) out.rows.push_back({entry->code, entry->folder, said.fields});
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
