// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"
#include "annotate/report/report_words.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A series as lines of text for a terminal: what is said of each figure, with groups their mean, standard
// deviation and median (times in seconds, as papers print them), complications, sums and case mix.
std::vector<std::string> SeriesLines(const SeriesModel& model, const ReportWords& words);

}  // namespace afterscope
