// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/finding.hpp"

#include <map>
#include <string>

namespace afterscope {

// Words for the names of findings, by name; from assets/reports/words.json.
using FindingLabels = std::map<std::string, std::string>;

// The label, or where none is known the last words of the name: "diameter_largest.as_seen" -> "diameter
// largest as seen".
std::string FindingLabelText(const FindingLabels& labels, const std::string& name);
// Value and unit of a finding that has an estimate: "5.21 mm", "48.2 s", "93 %".
std::string FindingValueText(const Finding& finding);
// "5.0 – 5.4"; empty where it has no limits worth showing.
std::string FindingLimitsText(const Finding& finding);

}  // namespace afterscope
