// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/jobs/intake.hpp"

#include <array>
#include <string>
#include <vector>

namespace afterscope {

// The recordings of a day's folder that are no cases yet, as a table to be filled in.
struct DayRow {
  ProposedCase proposed;
  std::string folder;  // of the case that it becomes
  bool take = true;
  // What is typed, in the order of kDayColumns.
  std::array<std::string, 5> cells;
  std::string problem;  // one sentence, where it could not be made
  double Seconds() const;
};

enum class DayColumn { kCode, kDate, kEye, kOperator, kLens };
inline constexpr std::array kDayColumns{DayColumn::kCode, DayColumn::kDate, DayColumn::kEye,
                                        DayColumn::kOperator, DayColumn::kLens};

// Proposals that have not become cases before; what names and times of the files say is filled in.
std::vector<DayRow> DayRows(const std::vector<ProposedCase>& proposed);

// The fields that a row gives its case; one sentence where a cell is no value of its field. An eye may be
// given by its first letter.
Result<EditGroup> FieldsOfRow(const DayRow& row);

// Blocks: looks at the folder, then makes the cases of the rows to be taken; says what went wrong in each.
Result<std::vector<DayRow>> FindDay(const std::string& folder, const Progress& progress,
                                    const StopQuery& stop);
std::vector<DayRow> MakeDay(std::vector<DayRow> rows, const Progress& progress, const StopQuery& stop);

}  // namespace afterscope
