// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_options.hpp"
#include "annotate/store/index/case_index.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What is looked for across cases; what is empty is not asked for, and a stretch must fit all that is asked.
struct StretchQuery {
  std::string step;          // key: its visits; together with the others: moments within it
  std::string complication;  // key, or "any"
  std::string check;         // key of a check that was noted at a moment, or in the review's own list
  std::string words;         // in a moment's text or a check's state, ASCII letters of either case
  double before_s = 10;      // how long a moment's stretch is shown before it
  double after_s = 5;
};

struct Stretch {
  std::string folder, code, date, operator_code;
  std::string what;  // the step, or the kind and key of the moment, or the check
  std::string words;
  double start_s = 0;  // on the case clock
  double end_s = 0;
  FrameRef at;  // the visit's start, or the moment
};

// In order of date, then time; to be played one after another. A check of a review's list is said of the
// whole operation: its stretch is each visit of the step in which it is usually seen, as the case's step list
// says, else from the first step to the last; nothing where no step is tagged. kBadCall where nothing is
// asked for.
Result<std::vector<Stretch>> FindStretches(CaseIndex& index, const std::string& folder,
                                           const SeriesFilter& filter, const StretchQuery& query,
                                           const std::string& assets_folder);

}  // namespace afterscope
