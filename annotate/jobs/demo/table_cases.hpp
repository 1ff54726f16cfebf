// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/jobs/demo/demo_case.hpp"
#include "annotate/jobs/demo/demo_series.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A case that is known only by a table of step times: its record (no recording at hand, times in frames of a
// declared rate) and its steps.
struct TimesOnlyCase {
  CaseRecord record;
  EditGroup steps;
};

// The tables' cases in order of date. Deterministic: times follow the power law of each step, with a spread.
std::vector<TimesOnlyCase> TableCasesOf(const DemoTables& tables, const CaseRecord& like);

// Makes their case folders; returns their codes.
Result<std::vector<std::string>> MakeTableCases(const DemoTables& tables, const CaseRecord& like,
                                                const DemoPlaces& places, const std::string& reviewer,
                                                const Progress& progress, const StopQuery& stop,
                                                FileSystem& files = RealFileSystem());

// The date so many days after an ISO 8601 date (proleptic Gregorian); the date itself where it is not one.
std::string DateAfter(const std::string& date, int days);

}  // namespace afterscope
