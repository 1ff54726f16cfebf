// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <string>
#include <vector>

namespace afterscope {

// Appends a caution if successive values resemble each other beyond a straight line through them: their lag-1
// autocorrelation exceeds 1.96 / sqrt(n) (Bartlett 1946, J R Stat Soc Suppl 8:27). Tests that take the cases
// as independent then give too small a p and too narrow limits. Silent below 10 values.
void AppendCorrelatedCaution(std::span<const double> values, std::vector<std::string>& cautions);

}  // namespace afterscope
