// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/work/word_list.hpp"

#include <algorithm>
#include <cctype>

namespace afterscope {

std::vector<WordList::Item> WordList::Matching(const std::string& text) const {
  const auto same = [](char a, char b) {
    return std::tolower(static_cast<unsigned char>(a)) == std::tolower(static_cast<unsigned char>(b));
  };
  std::vector<Item> found;
  for (const Item& item : items)
    if (std::search(item.name.begin(), item.name.end(), text.begin(), text.end(), same) != item.name.end())
      found.push_back(item);
  return found;
}

}  // namespace afterscope
