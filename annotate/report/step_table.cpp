// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/step_table.hpp"

#include "annotate/exchange/csv.hpp"

#include <fmt/format.h>

namespace afterscope {

namespace {

std::string Seconds(double seconds) { return fmt::format("{:.3f}", seconds); }

std::vector<std::string> CellsOf(const StepRow& row) {
  std::vector<std::string> cells{CsvText(row.key),
                                 CsvText(row.name),
                                 fmt::format("{}", row.own_visits),
                                 Seconds(row.own_seconds),
                                 row.own_limits ? Seconds(row.own_limits->low) : "",
                                 row.own_limits ? Seconds(row.own_limits->high) : "",
                                 Seconds(row.others_seconds),
                                 Seconds(row.longest_seconds),
                                 Seconds(row.first_start_seconds)};
  if (row.starts.empty()) {
    cells.insert(cells.end(), 2, "");
  } else {
    cells.push_back(fmt::format("{}", row.starts.front().ref.recording));
    cells.push_back(fmt::format("{}", row.starts.front().ref.pts.ticks));
  }
  if (!row.earlier) {
    cells.insert(cells.end(), 4, "");
    return cells;
  }
  cells.push_back(fmt::format("{}", row.earlier->cases));
  for (const double seconds :
       {row.earlier->median_seconds, row.earlier->low_seconds, row.earlier->high_seconds})
    cells.push_back(Seconds(seconds));
  return cells;
}

}  // namespace

std::string MakeStepTable(const ReportModel& model) {
  std::string table = CsvLine({"step", "name", "own_visits", "own_s", "own_low_s", "own_high_s", "others_s",
                               "longest_s", "first_start_s", "recording", "ticks", "earlier_cases",
                               "earlier_median_s", "earlier_shortest_s", "earlier_longest_s"});
  for (const StepRow& row : model.steps) table += CsvLine(CellsOf(row));
  return table;
}

}  // namespace afterscope
