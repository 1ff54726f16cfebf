// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/phantom/truth_compare.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A case whose findings were compared with the truth.
struct CheckedCase {
  std::string code;
  std::vector<Comparison> comparisons;
};

// A plain text table of the main findings, measured against true: one line a finding and case, with the
// limits and whether they hold the truth.
std::string MainFindingsTable(const std::vector<CheckedCase>& cases);

// How far off the main findings are at worst, and how many of all limits hold the truth: lines of text.
std::string TruthSummary(const std::vector<CheckedCase>& cases);

}  // namespace afterscope
