// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/ids.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {

// One entry of a journal as it is told: who, when, what.
struct ToldEntry {
  std::int64_t order = 0;
  std::string time;  // UTC, YYYY-MM-DDThh:mm:ssZ, by the clock of the machine that wrote it
  std::string by;    // a code; empty: not said
  std::string what;
};

// All that was done in a review's sessions, to the review and to the case's fields, in the order in which it
// was done, and the scrubs of the case's fields; what the program found out is left out. Reaches back to
// where the journals begin. Whether they were changed from outside, a check says (CheckSeals). kUnreadable
// where there is no such review.
Result<std::vector<ToldEntry>> ToldHistory(const std::string& case_folder, const ReviewId& review,
                                           FileSystem& files);

}  // namespace afterscope
