// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/report_model.hpp"

#include <string>

namespace afterscope {

// "16.7 s (13.0 s to 20.3 s; 5 cases)".
std::string EarlierText(const ReportModel& model, const EarlierTimes& earlier);

}  // namespace afterscope
