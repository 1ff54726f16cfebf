// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/step_table.hpp"

#include "annotate/case/case_fields.hpp"
#include "annotate/case/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>
#include <utility>

namespace afterscope {
namespace {

constexpr double kMostValue = 1e12;

using Columns = std::map<std::string, std::size_t>;

std::string LowerAscii(std::string text) {
  for (char& c : text)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return text;
}

// What the columns of one table can be, and how the user says which is which.
struct Roles {
  const char* option;
  std::vector<std::string> needed;
  std::vector<std::string> further;
};

const Roles kStepRoles{"--columns", {"step", "start"}, {"end", "case", "operator"}};
const Roles kCaseRoles{"--case-columns", {"case"}, {"total", "rate", "operator"}};
const Roles kNameRoles{"--name-columns", {"step", "name"}, {}};

bool IsRole(const Columns& columns, std::size_t column) {
  return std::any_of(columns.begin(), columns.end(), [&](const auto& role) { return role.second == column; });
}

// What tables of operations call these columns too (common practice, no source).
const std::map<std::string, std::vector<std::string>> kOtherNames{
    {"case", {"caseid", "video", "videoid"}},
    {"step", {"phase", "phaseid", "stepid"}},
    {"start", {"startframe", "frame", "frameno", "from"}},
    {"end", {"endframe", "to"}},
    {"total", {"frames"}},
    {"rate", {"fps", "framerate"}},
    {"operator", {"surgeon"}},
    {"name", {"meaning", "phasename", "stepname"}}};

// In small letters, without what parts its words.
std::string PlainName(const std::string& header) {
  std::string name = LowerAscii(header);
  std::erase_if(name, [](char c) { return c == '_' || c == ' ' || c == '-'; });
  return name;
}

// The field of a case that a column of that name holds; empty: none.
std::string FieldNamed(const std::string& header) {
  for (const std::string& field : CaseFieldNames())
    if (field != "code" && PlainName(field) == PlainName(header)) return field;
  return {};
}

void AddColumnNamed(const TextTable& table, const std::string& role, const std::string& name,
                    Columns& columns) {
  for (std::size_t column = 0; column < table.header.size() && !columns.contains(role); ++column)
    if (PlainName(table.header[column]) == name && !IsRole(columns, column)) columns.emplace(role, column);
}

// A column that bears the name of a role has it, else one of a name that is usual for it, unless the user
// said otherwise.
void AddColumnsByName(const TextTable& table, const std::vector<std::string>& roles, Columns& columns) {
  for (const std::string& role : roles) AddColumnNamed(table, role, role, columns);
  for (const std::string& role : roles)
    for (const std::string& name : kOtherNames.at(role)) AddColumnNamed(table, role, name, columns);
}

Result<Columns> FindColumns(const TextTable& table, const ColumnMap& wanted, const Roles& roles) {
  Columns columns;
  for (const auto& [role, name] : wanted) {
    const auto column = table.Column(name);
    if (!column)
      return Error{ErrorCode::kBadCall, fmt::format("The table '{}' has no column '{}'; its columns are {}.",
                                                    table.name, name, JoinText(table.header, ", "))};
    columns[role] = *column;
  }
  AddColumnsByName(table, roles.needed, columns);
  AddColumnsByName(table, roles.further, columns);
  for (const std::string& role : roles.needed)
    if (!columns.contains(role))
      return Error{
          ErrorCode::kBadCall,
          fmt::format(
              "Which column of '{}' is the '{}' is not known: say it by {} {}=NAME; its columns are {}.",
              table.name, role, roles.option, role, JoinText(table.header, ", "))};
  return columns;
}

const std::string& Cell(const TextTable& table, const Columns& columns, std::size_t row, const char* role) {
  static const std::string none;
  const auto column = columns.find(role);
  return column == columns.end() ? none : table.Cell(row, column->second);
}

Result<double> NumberIn(const TextTable& table, std::size_t row, const std::string& text, const char* what) {
  const auto plain = WithDecimalPoint(table, text);
  if (!plain)
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't read the {} '{}' in line {} of '{}': its comma may separate decimals or "
                             "thousands; write the number with a point, or without a separator.",
                             what, text, table.lines[row], table.name)};
  const auto number = NumberFrom(*plain);
  if (number && *number >= 0 && *number < kMostValue) return *number;
  return Error{ErrorCode::kUnreadable,
               fmt::format("Can't read the {} '{}' in line {} of '{}': it is no number from 0 on.", what,
                           text, table.lines[row], table.name)};
}

// Reads the names of steps: word of the step table to name.
Result<std::map<std::string, std::string>> NamesFrom(const TextTable* names, const ColumnMap& wanted) {
  std::map<std::string, std::string> result;
  if (!names) return result;
  AFTERSCOPE_ASSIGN(const Columns columns, FindColumns(*names, wanted, kNameRoles));
  for (std::size_t row = 0; row < names->rows.size(); ++row)
    result[Cell(*names, columns, row, "step")] = Cell(*names, columns, row, "name");
  return result;
}

std::string KeyOf(const std::string& word, const std::map<std::string, std::string>& names,
                  const StepTableOptions& options, const StepList& list) {
  const auto named = names.find(word);
  const std::string& name = named == names.end() || named->second.empty() ? word : named->second;
  for (const std::string& candidate : {word, name})
    if (const auto chosen = options.step_keys.find(candidate); chosen != options.step_keys.end())
      return chosen->second;
  for (const StepKind& step : list.steps)
    if (LowerAscii(step.key) == LowerAscii(name) || LowerAscii(step.name) == LowerAscii(name))
      return step.key;
  return name;
}

// Columns without a role: those with one value in all rows of the case become its fields, others are told.
void KeepFurtherColumns(const TextTable& table, const Columns& columns, const std::vector<std::size_t>& rows,
                        TableCase& result) {
  for (std::size_t column = 0; column < table.header.size(); ++column) {
    if (IsRole(columns, column) || table.header[column].empty()) continue;
    std::set<std::string> values;
    for (const std::size_t row : rows) values.insert(table.Cell(row, column));
    values.erase("");
    if (values.size() == 1) result.extra[table.header[column]] = *values.begin();
    if (values.size() > 1)
      result.cautions.push_back(fmt::format("column '{}' of '{}' differs from row to row and was left out",
                                            table.header[column], table.name));
  }
}

Status ReadCaseRow(const TextTable& cases, const StepTableOptions& options, TableCase& result) {
  AFTERSCOPE_ASSIGN(const Columns columns, FindColumns(cases, options.case_columns, kCaseRoles));
  for (std::size_t row = 0; row < cases.rows.size(); ++row) {
    if (Cell(cases, columns, row, "case") != result.code) continue;
    if (const std::string& rate = Cell(cases, columns, row, "rate"); !rate.empty()) {
      result.rate = RateFrom(rate);
      if (!result.rate)
        return Error{ErrorCode::kUnreadable, fmt::format("Can't read the rate '{}' in line {} of '{}'.", rate,
                                                         cases.lines[row], cases.name)};
    }
    if (const std::string& total = Cell(cases, columns, row, "total"); !total.empty()) {
      AFTERSCOPE_ASSIGN(result.total, NumberIn(cases, row, total, "total"));
    }
    result.operator_code = Cell(cases, columns, row, "operator");
    KeepFurtherColumns(cases, columns, {row}, result);
    return {};
  }
  result.cautions.push_back(fmt::format("'{}' has no row for case '{}'", cases.name, result.code));
  return {};
}

Status ReadSteps(const TextTable& table, const Columns& columns, const std::vector<std::size_t>& rows,
                 const std::map<std::string, std::string>& names, const StepTableOptions& options,
                 const StepList& list, TableCase& result) {
  std::set<std::string> operators;
  for (const std::size_t row : rows) {
    TableStep step;
    step.line = table.lines[row];
    step.step = KeyOf(Cell(table, columns, row, "step"), names, options, list);
    step.operator_code = Cell(table, columns, row, "operator");
    operators.insert(step.operator_code);
    if (step.step.empty())
      return Error{ErrorCode::kUnreadable,
                   fmt::format("Line {} of '{}' names no step.", step.line, table.name)};
    AFTERSCOPE_ASSIGN(step.start, NumberIn(table, row, Cell(table, columns, row, "start"), "start"));
    if (const std::string& end = Cell(table, columns, row, "end"); !end.empty()) {
      AFTERSCOPE_ASSIGN(const double value, NumberIn(table, row, end, "end"));
      step.end = value + (options.end_included && options.unit == TableUnit::kFrames ? 1 : 0);
    }
    result.steps.push_back(std::move(step));
  }
  // One operator throughout is the case's operator.
  if (operators.size() == 1 && !operators.begin()->empty() && result.operator_code.empty()) {
    result.operator_code = *operators.begin();
    for (TableStep& step : result.steps) step.operator_code.clear();
  }
  return {};
}

void EndWhereTheNextStarts(TableCase& result) {
  std::stable_sort(result.steps.begin(), result.steps.end(),
                   [](const TableStep& a, const TableStep& b) { return a.start < b.start; });
  for (std::size_t i = 0; i < result.steps.size(); ++i) {
    TableStep& step = result.steps[i];
    if (step.end) continue;
    step.end = i + 1 < result.steps.size() ? std::optional(result.steps[i + 1].start) : result.total;
    if (!step.end)
      result.cautions.push_back(
          fmt::format("the last step (line {}) has no end and no total is known; it stays open", step.line));
  }
}

// Refuses a case of which nothing is left.
Status LeaveOutWhatHasNoLength(const std::string& table_name, TableCase& result) {
  std::vector<TableStep> kept;
  double reached = 0;
  std::string why;
  for (TableStep& step : result.steps) {
    if (step.end && *step.end <= step.start) {
      why = fmt::format("the step in line {} {}", step.line,
                        *step.end < step.start ? "ends before it starts" : "has no length");
      result.cautions.push_back(why + " and was left out");
      continue;
    }
    if (!kept.empty() && step.start < reached) {
      result.cautions.push_back(
          fmt::format("the step in line {} overlaps the one before and starts where that ends", step.line));
      step.start = reached;
      if (step.end && *step.end <= step.start) {
        result.cautions.push_back(fmt::format("no part of the step in line {} is left", step.line));
        continue;
      }
    }
    reached = step.end.value_or(step.start);
    kept.push_back(std::move(step));
  }
  result.steps = std::move(kept);
  if (!result.steps.empty()) return {};
  return Error{
      ErrorCode::kUnreadable,
      fmt::format("Can't take steps from '{}'{}{}: {}, and no other step is there; correct that line.",
                  table_name, result.code.empty() ? "" : " for case ", result.code, why)};
}

// Rows that start before the row above.
Result<std::vector<std::size_t>> RowsThatBeginAnew(const TextTable& table, const Columns& columns) {
  std::vector<std::size_t> rows;
  double before = 0;
  for (std::size_t row = 0; row < table.rows.size(); ++row) {
    AFTERSCOPE_ASSIGN(const double start, NumberIn(table, row, Cell(table, columns, row, "start"), "start"));
    if (row > 0 && start < before) rows.push_back(row);
    before = start;
  }
  return rows;
}

// A column without a role whose value changes where the times begin anew, and only there.
std::optional<std::size_t> ColumnThatChanges(const TextTable& table, const Columns& columns,
                                             const std::vector<std::size_t>& rows) {
  for (std::size_t column = 0; column < table.header.size(); ++column) {
    if (IsRole(columns, column) || table.header[column].empty()) continue;
    std::vector<std::size_t> changes;
    for (std::size_t row = 1; row < table.rows.size(); ++row)
      if (table.Cell(row, column) != table.Cell(row - 1, column)) changes.push_back(row);
    if (changes == rows) return column;
  }
  return std::nullopt;
}

// Without a column for the case, times that begin anew where another column changes are of several cases.
Status RefuseSeveralAsOne(const TextTable& table, const Columns& columns) {
  if (columns.contains("case")) return {};
  AFTERSCOPE_ASSIGN(const std::vector<std::size_t> rows, RowsThatBeginAnew(table, columns));
  const auto column = rows.empty() ? std::nullopt : ColumnThatChanges(table, columns, rows);
  if (!column) return {};
  const std::string& name = table.header[*column];
  return Error{
      ErrorCode::kBadCall,
      fmt::format("'{}' seems to hold several cases: in line {} the times begin anew and '{}' changes; if "
                  "that column names the case, say it by --columns case={}, else sort the rows by time.",
                  table.name, table.lines[rows.front()], name, name)};
}

}  // namespace

std::optional<Rational> RateFrom(const std::string& text) {
  const auto slash = text.find('/');
  const auto whole = NumberFrom(slash == std::string::npos ? text : text.substr(0, slash));
  const auto part = slash == std::string::npos ? std::optional(1.0) : NumberFrom(text.substr(slash + 1));
  if (!whole || !part || *part <= 0 || *whole <= 0 || *whole / *part > 100000) return std::nullopt;
  // Decimal places as an exact fraction.
  Rational rate{static_cast<std::int64_t>(std::llround(*whole * 1e6)),
                static_cast<std::int64_t>(std::llround(*part * 1e6))};
  const std::int64_t common = std::gcd(rate.num, rate.den);
  if (common == 0) return std::nullopt;
  rate = {rate.num / common, rate.den / common};
  return rate.valid() ? std::optional(rate) : std::nullopt;
}

Result<std::vector<TableCase>> CasesFromTables(const TextTable& steps, const TextTable* cases,
                                               const TextTable* names, const StepTableOptions& options,
                                               const StepList& list) {
  AFTERSCOPE_ASSIGN(const Columns columns, FindColumns(steps, options.columns, kStepRoles));
  AFTERSCOPE_TRY(RefuseSeveralAsOne(steps, columns));
  AFTERSCOPE_ASSIGN(const auto step_names, NamesFrom(names, options.name_columns));
  std::vector<std::pair<std::string, std::vector<std::size_t>>> groups;  // in order of first row
  std::map<std::string, std::size_t> group_of;
  for (std::size_t row = 0; row < steps.rows.size(); ++row) {
    const std::string& code = Cell(steps, columns, row, "case");
    const auto [group, fresh] = group_of.try_emplace(code, groups.size());
    if (fresh) groups.push_back({code, {}});
    groups[group->second].second.push_back(row);
  }
  std::vector<TableCase> result;
  for (const auto& [code, rows] : groups) {
    TableCase one;
    one.code = code;
    one.rate = options.rate;
    one.total = options.total;
    KeepFurtherColumns(steps, columns, rows, one);
    if (cases) AFTERSCOPE_TRY(ReadCaseRow(*cases, options, one));
    AFTERSCOPE_TRY(ReadSteps(steps, columns, rows, step_names, options, list, one));
    EndWhereTheNextStarts(one);
    AFTERSCOPE_TRY(LeaveOutWhatHasNoLength(steps.name, one));
    result.push_back(std::move(one));
  }
  return result;
}

std::int64_t TicksFor(double value, TableUnit unit, Rational time_base) {
  return static_cast<std::int64_t>(
      std::llround(unit == TableUnit::kFrames ? value : value / time_base.value()));
}

RecordingRef RecordingFor(const TableCase& table, TableUnit unit) {
  RecordingRef recording;
  recording.shape.time_base = table.rate ? Rational{table.rate->den, table.rate->num} : Rational{1, 1000};
  if (table.rate) recording.shape.frame = {1};
  double end = table.total.value_or(0);
  for (const TableStep& step : table.steps) end = std::max({end, step.start + 1, step.end.value_or(0)});
  recording.shape.end = Pts{TicksFor(end, unit, recording.shape.time_base)};
  return recording;
}

CaseRecord RecordFor(TableCase& table, TableUnit unit) {
  CaseRecord record;
  for (const auto& [name, text] : table.extra) {
    const std::string field = FieldNamed(name);
    const Status set = field.empty() ? SetCaseFieldText(record, "extra." + name, text)
                                     : SetCaseFieldText(record, field, text);
    if (set.ok()) continue;
    table.cautions.push_back(fmt::format("{} It is kept as extra.{}", set.error().message, name));
    record.extra[name] = text;
  }
  record.code = table.code;
  record.operator_code = table.operator_code;
  record.recordings = {RecordingFor(table, unit)};
  return record;
}

}  // namespace afterscope
