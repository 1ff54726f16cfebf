// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/score/agree_reviews.hpp"
#include "annotate/report/report_words.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What reviews agree on as lines of text for a terminal, in the words "agree.*".
std::vector<std::string> AgreementLines(const AgreementModel& model, const ReportWords& words);

}  // namespace afterscope
