// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/narration/rules.hpp"

#include <optional>
#include <vector>

namespace afterscope {

struct SpokenNumber {
  double value = 0;
  std::size_t end = 0;  // the word after it
};

// The number that begins at a word: digits ("350", "2.8"), number words ("three hundred and fifty", "three
// fifty", "treinta y cinco"), decimals said out ("two point eight"). Empty where none begins.
std::optional<SpokenNumber> NumberAt(const std::vector<SpokenWord>& words, std::size_t at,
                                     const NarrationRules& rules);

}  // namespace afterscope
