// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/report_model.hpp"

#include <string>

namespace afterscope {

// The step table as CSV (RFC 4180, UTF-8, a header line), one line a step in order of first start: step,
// name, own_visits, own_s, own_low_s, own_high_s, others_s, longest_s, first_start_s, recording, ticks (of
// the first start), earlier_cases, earlier_median_s, earlier_shortest_s, earlier_longest_s. What does not
// exist is an empty cell.
std::string MakeStepTable(const ReportModel& model);

}  // namespace afterscope
