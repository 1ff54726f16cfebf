// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// How far one reviewer's repeated marks of the same thing lie apart.
struct Repeatability {
  std::size_t things = 0;       // that were marked at least twice
  std::size_t degrees = 0;      // marks less things
  Estimate within_sd;           // standard deviation of one mark, limits by chi-square
  Estimate coefficient;         // 1.96 sqrt(2) within_sd: 95 % of pairs of marks lie nearer together
  double coefficient_1986 = 0;  // 2 sqrt(2) within_sd, as Bland & Altman 1986 give it
  double range_share = 0;  // within_sd over the standard deviation of the things' means; small is good; 0 if
                           // there is one thing
  std::string method;
  std::vector<std::string> cautions;
};

// A row of marks for each thing; rows of fewer than two marks drop out. Refused if none is left. No mark ever
// differs: all 0, with a caution. Bland & Altman 1996, BMJ 313:744.
Result<Repeatability> RepeatabilityOf(std::span<const std::vector<double>> marks, double level = 0.95);

}  // namespace afterscope
