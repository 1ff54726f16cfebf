// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/step_list.hpp"
#include "annotate/exchange/delimited_text.hpp"
#include "metrics/base/rational.hpp"
#include "metrics/base/result.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

enum class TableUnit { kFrames, kSeconds };

// Which column is what: role to column (name, or number from 1). A role that is not said is the column of
// that name, else of another usual one: case VideoID, step Phase, start FrameNo, total Frames, rate FPS,
// operator Surgeon, name Meaning and the like.
using ColumnMap = std::map<std::string, std::string>;

struct StepTableOptions {
  ColumnMap columns;  // of the steps: "step" and "start" needed; "end", "case", "operator"
  ColumnMap
      case_columns;  // of the table of cases: "case" needed; "total" (frames or seconds), "rate", "operator"
  ColumnMap name_columns;  // of the table of names: "step" and "name" needed
  TableUnit unit = TableUnit::kFrames;
  std::optional<Rational> rate;  // frames a second, where no column says
  std::optional<double> total;   // frames or seconds, where no column says
  bool end_included = false;     // the end column names the last frame that belongs to the step
  std::map<std::string, std::string> step_keys;  // word of the table to step key
};

// A boundary as the table has it.
struct TableStep {
  std::string step;
  double start = 0;  // frames or seconds, as TableUnit says
  std::optional<double> end;
  std::string operator_code;
  int line = 0;
};

struct TableCase {
  std::string code;              // empty where the table is of one case
  std::vector<TableStep> steps;  // in order of start, without overlap
  std::optional<Rational> rate;
  std::optional<double> total;
  std::string operator_code;
  std::map<std::string, std::string> extra;  // further columns that hold one value throughout the case
  std::vector<std::string> cautions;         // rows left out and the like
};

// Joins the tables (`cases` and `names` may be null). Without an end column a step ends where the next one
// starts, the last at the total. A step's word becomes the key given in `step_keys`, else of the step list's
// step of that key or name, else stays. Steps without length and steps that overlap the one before are told
// in cautions: the first are left out, the second start where the one before ends. Numbers may have a decimal
// comma where that can't be read otherwise. kBadCall for columns that are missing, and for a
// table without a column for the case that seems to hold several; kUnreadable for cells that
// are no numbers and for a case of which no step is left.
Result<std::vector<TableCase>> CasesFromTables(const TextTable& steps, const TextTable* cases,
                                               const TextTable* names, const StepTableOptions& options,
                                               const StepList& list);

// "25", "29.97" or "30000/1001" as an exact fraction; empty if it is none or not between 0 and 100 000.
std::optional<Rational> RateFrom(const std::string& text);

// The recording that stands for a table of times without a recording: empty path, declared time base (a tick
// is a frame, or a millisecond where there is no rate), from 0 to the total or the last boundary.
RecordingRef RecordingFor(const TableCase& table, TableUnit unit);
// The record of a new case with that recording. A further column of the name of a case's field (date, eye,
// difficulty ...) is that field, others are kept in `extra`; so is, with a caution, what the field refuses.
CaseRecord RecordFor(TableCase& table, TableUnit unit);
// Ticks of that recording for a value of the table.
std::int64_t TicksFor(double value, TableUnit unit, Rational time_base);

}  // namespace afterscope
