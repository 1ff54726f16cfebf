// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/finding.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Findings as a table after RFC 4180, a header line first: name, value, unit, low, high, level, step,
// operator, frames (RECORDING:TICKS, spaces between), marks, trail, scale, method, cautions ("; " between).
// Empty cells where there is no value. Texts that a spreadsheet could take for a formula are guarded
// (csv.hpp).
std::string CsvFromFindings(const std::vector<Finding>& findings);

}  // namespace afterscope
