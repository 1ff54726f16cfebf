// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

struct FleissKappa {
  std::size_t cases = 0;
  std::size_t reviewers = 0;  // of each case
  double observed = 0;        // mean agreement of pairs of reviewers
  double expected = 0;
  double kappa = 0;
  std::optional<Estimate> limits;  // by leaving out one case at a time; none where that leaves nothing
  double z = 0;                    // against no agreement (Fleiss, Nee & Landis 1979, Psychol Bull 86:974)
  double p = 1;                    // two-sided
  std::vector<std::optional<double>> of_category;  // none where nobody, or everybody, chose it
  std::string method;
  std::vector<std::string> cautions;
};

// Agreement beyond chance among any number of reviewers, not necessarily the same for each case (Fleiss 1971,
// Psychol Bull 76:378). `counts`: for each case how many chose each category, row by row; the same number of
// reviewers for each case, at least 2. At least 2 cases and 2 categories. Refused if all chose one category.
Result<FleissKappa> FleissKappaOf(std::span<const int> counts, std::size_t categories, double level = 0.95);

}  // namespace afterscope
