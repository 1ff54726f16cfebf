// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

namespace afterscope {

// The one of `words` that a slip of the hand may have been meant for: at most a third of the bytes of `word`,
// and never more than three, are put in, left out, exchanged or (two beside each other) swapped. The first
// of the nearest; empty: none is near, or `word` is one of them.
std::string NearWord(const std::string& word, const std::vector<std::string>& words);

}  // namespace afterscope
