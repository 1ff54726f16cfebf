// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/day_table.hpp"

#include "annotate/media/recording.hpp"
#include "app/desktop/desk/case_shelf.hpp"
#include "app/desktop/desk/new_case.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <ctime>
#include <filesystem>

namespace afterscope {
namespace {

const char* FieldOf(DayColumn column) {
  switch (column) {
    case DayColumn::kCode:
      return "code";
    case DayColumn::kDate:
      return "date";
    case DayColumn::kEye:
      return "eye";
    case DayColumn::kOperator:
      return "operator_code";
    case DayColumn::kLens:
      return "optic_diameter_mm";
  }
  return "";
}

// "r" and "L" for right and left.
std::string EyeWord(const std::string& typed) {
  if (typed == "r" || typed == "R") return "right";
  if (typed == "l" || typed == "L") return "left";
  return typed;
}

Result<double> SecondsOf(const std::string& path) {
  Recording::Options quick;
  quick.build_table = false;
  AFTERSCOPE_ASSIGN(const auto recording, Recording::Open(path, quick));
  return recording->info().declared_seconds.value_or(0);
}

std::string DateOf(const FoundRecording& found) {
  if (!found.started_s) return DateIn(std::filesystem::path(found.path).stem().string());
  return fmt::format("{:%Y-%m-%d}", fmt::gmtime(static_cast<std::time_t>(*found.started_s)));
}

}  // namespace

double DayRow::Seconds() const {
  double seconds = 0;
  for (const FoundRecording& recording : proposed.recordings) seconds += recording.seconds;
  return seconds;
}

std::vector<DayRow> DayRows(const std::vector<ProposedCase>& proposed) {
  std::vector<DayRow> rows;
  for (const ProposedCase& each : proposed) {
    if (each.recordings.empty()) continue;
    DayRow row;
    row.proposed = each;
    row.folder = CaseFolderFor(each.recordings.front().path);
    if (KindOfPath(row.folder) == PathKind::kCase) continue;
    row.problem = each.recordings.front().caution;
    row.take = row.problem.empty();
    row.cells[static_cast<std::size_t>(DayColumn::kCode)] = each.name;
    row.cells[static_cast<std::size_t>(DayColumn::kDate)] = DateOf(each.recordings.front());
    rows.push_back(std::move(row));
  }
  return rows;
}

Result<EditGroup> FieldsOfRow(const DayRow& row) {
  EditGroup group{"Taken in", {}};
  for (std::size_t i = 0; i < kDayColumns.size(); ++i)
    if (!row.cells[i].empty())
      group.edits.emplace_back(SetCaseField{
          FieldOf(kDayColumns[i]), kDayColumns[i] == DayColumn::kEye ? EyeWord(row.cells[i]) : row.cells[i]});
  CaseRecord record;
  Review review;
  AFTERSCOPE_TRY(ApplyEdits(group, record, review));
  return group;
}

Result<std::vector<DayRow>> FindDay(const std::string& folder, const Progress& progress,
                                    const StopQuery& stop) {
  AFTERSCOPE_ASSIGN(const auto found, FindRecordings(folder, SecondsOf, progress, stop));
  return DayRows(ProposeCases(found, {}));
}

std::vector<DayRow> MakeDay(std::vector<DayRow> rows, const Progress& progress, const StopQuery& stop) {
  for (std::size_t i = 0; i < rows.size() && !Stopped(stop); ++i) {
    DayRow& row = rows[i];
    const auto count = static_cast<double>(rows.size());
    if (progress) progress(static_cast<double>(i) / count);
    if (!row.take) continue;
    const auto fields = FieldsOfRow(row);
    const Status made = fields ? MakeProposedCase(
                                     row.folder, row.proposed, *fields,
                                     [&](double share) {
                                       if (progress) progress((static_cast<double>(i) + share) / count);
                                     },
                                     stop)
                               : Status(fields.error());
    row.problem = made.ok() ? std::string() : made.error().message;
  }
  return rows;
}

}  // namespace afterscope
