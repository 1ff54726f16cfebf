// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/verify/run_phantom.hpp"

#include <string>
#include <vector>

namespace afterscope {

// One finding over all phantoms (and steps, where it is one a step).
struct FindingVerdict {
  std::string name;
  std::string unit;
  int values = 0;          // how many were compared
  int held = 0;            // whose limits hold the truth
  int most_misses = 0;     // that chance explains
  double largest_off = 0;  // |measured - true|
  double worst = 0;        // the largest distance of the truth from the value, in half widths of its limits
  std::string why;         // it failed; empty: it passed
  bool passed() const { return why.empty(); }
};

// Passed: every value was computed; those without limits equal the truth; of 95 % limits no more miss it than
// chance explains (in all but one of 500 cases, by the binomial distribution), none by more than two and a
// half times their width; and a followed path is within 5 % of the true one. In the order of the first
// phantom.
std::vector<FindingVerdict> JudgeFindings(const std::vector<VerifiedPhantom>& phantoms);

// The least m for which chance gives more than m misses of n limits that hold 95 % in under one case of 500.
int MostMisses(int n);

bool AllPassed(const std::vector<VerifiedPhantom>& phantoms, const std::vector<FindingVerdict>& verdicts);

}  // namespace afterscope
