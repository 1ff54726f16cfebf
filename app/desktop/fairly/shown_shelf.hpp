// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/desk/case_shelf.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace afterscope {

// The list of cases as it may be seen. Pure.
struct ShownShelfCase {
  std::size_t place = 0;  // in the shelf
  std::string name;       // "Case 3" where it is nameless
  std::string date;
  std::string who;
  bool nameless = false;
};

// Whether the user's own review of the case, or nobody's in particular, is blinded and not signed.
bool IsBlindFor(const ShelfCase& entry, const std::string& code);

// `all_nameless`: a blinded review is open, or the folder is reviewed blinded: every case is a number only,
// in shuffled order. Else those under a blinded review are, after the others. A case keeps its number.
std::vector<ShownShelfCase> ShownShelf(const std::vector<ShelfCase>& shelf, bool all_nameless,
                                       const std::string& code);

}  // namespace afterscope
