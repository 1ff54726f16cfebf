// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/report_model.hpp"

#include <string>

namespace afterscope {

// The report as one HTML file that needs nothing else: pictures inside, no script, and a policy that forbids
// anything from elsewhere. Every text is escaped.
std::string MakeHtml(const ReportModel& model);

}  // namespace afterscope
