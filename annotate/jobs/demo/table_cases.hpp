// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/jobs/demo/demo_case.hpp"
#include "annotate/jobs/demo/demo_series.hpp"
#include "metrics/base/result.hpp"

#include <map>
#include <string>
#include <vector>

namespace afterscope {

// A case that is known only by a table of step times: its record (no recording at hand, times in frames of a
// declared rate) and what its reviewers say.
struct TimesOnlyCase {
  CaseRecord record;
  EditGroup steps;
  EditGroup moments;
  std::map<std::string, double> scores;
  // Of a second reviewer, who sees each step begin a little later and scores a little differently; empty
  // where there is none.
  EditGroup second_steps;
  std::map<std::string, double> second_scores;
};

// The tables' cases in order of date. Deterministic: times follow the power law of each step, with a spread.
std::vector<TimesOnlyCase> InventTables(const DemoTables& tables, const CaseRecord& like,
                                        const ScoreSheet& sheet);

// Makes their case folders, each review signed; returns their codes.
Result<std::vector<std::string>> MakeTableCases(const DemoTables& tables, const CaseRecord& like,
                                                const DemoPlaces& places, const DemoReviewing& reviewing,
                                                const Progress& progress, const StopQuery& stop,
                                                FileSystem& files = RealFileSystem());

// The date so many days after an ISO 8601 date (proleptic Gregorian); the date itself where it is not one.
std::string DateAfter(const std::string& date, int days);

}  // namespace afterscope
