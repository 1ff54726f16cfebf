// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

namespace afterscope {

// Keys and the words for them, from a file of assets.
struct WordList {
  struct Item {
    std::string key;
    std::string name;
  };
  std::vector<Item> items;

  // Those whose name contains the text, in whatever case (of ASCII letters); all for an empty text.
  std::vector<Item> Matching(const std::string& text) const;
};

}  // namespace afterscope
