// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/series/sequential_cusum.hpp"

#include <map>
#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// Which cases are looked at; an empty field lets all pass. Codes and words as in FORMAT.md.
struct SeriesFilter {
  std::string operator_code;  // who operated, as the case's operator or in visits of their own
  std::string from, to;       // ISO 8601 dates, both included; a case without a date passes neither
  std::string eye, operation, step_list, operator_role;
  std::string difficulty;    // a difficulty's key, or "none", or "any"
  std::string complication;  // a complication's key, or "none", or "any"
  std::string reviewer_code;
  std::string kind;  // of the review; empty: formative in figures (ReviewThatCounts)
  std::map<std::string, std::string> extra;
};

// A cumulative sum for a complication, or for a step that took too long.
struct CusumPlan {
  std::string title;
  std::vector<std::string> complications;  // any of them is a failure; empty: the time limit is meant
  std::string step;                        // of the time limit; empty: the whole operation
  double limit_s = 0;                      // longer is a failure
  SequentialDesign design;                 // acceptable and unacceptable rate, and the two risks of error
};

// What is always shown and the cumulative sums, from a file of assets/series: data, edited freely.
struct SeriesPlan {
  std::vector<std::string> measures;  // names of findings besides step times, in order
  std::vector<CusumPlan> cusums;
};
Result<SeriesPlan> LoadSeriesPlan(const std::string& path, FileSystem& files = RealFileSystem());

struct SeriesOptions {
  SeriesFilter filter;
  // Groups by this: "operator", "role", "eye", "difficulty" (routine, difficult), "operation",
  // "date:YYYY-MM-DD" (before, from then on), "operator:CODE" (that person against the others, these by their
  // role), or a case's own field; where that field holds a day, before and since it.
  std::string by;
  std::string reference;          // the group that others are compared with; empty: routine eyes, the
                                  // others where a person is compared with them, else the first
  bool all_findings = false;      // not only the plan's
  bool whole_steps_only = false;  // leaves out step times in which others had the instruments for a part
  double level = 0.95;
  bool may_be_empty = false;  // also without a case: a person's portfolio, who may only have supervised
  SeriesPlan plan;
  std::string assets_folder;
};

}  // namespace afterscope
