// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/report_model.hpp"

#include <string>

namespace afterscope {

// The report as JSON, without pictures: what the PDF says, and every finding as computed. Numbers that don't
// exist are null. Bytes of a text that are not UTF-8 become U+FFFD.
std::string MakeJson(const ReportModel& model);

}  // namespace afterscope
