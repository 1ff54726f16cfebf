// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Keys and the words for them, from a file of assets.
struct WordList {
  struct Item {
    std::string key;
    std::string name;
    std::string unit;           // of a number
    std::optional<double> low;  // its usual range
    std::optional<double> high;
    std::string definition;  // what it means, of a complication

    std::string ShortName() const;  // without what stands in brackets
  };
  std::vector<Item> items;

  // Those whose name contains the text or whose words begin with its letters ("pcr"), then those whose
  // definition contains it, in whatever case (of ASCII letters); all for an empty text.
  std::vector<Item> Matching(const std::string& text) const;
};

// The array `member` of a JSON file: objects with key and name, and where they are numbers unit, low and
// high.
Result<WordList> LoadWordList(const std::string& path, const std::string& member);

// What is odd about a typed number, in one sentence; empty: nothing, or nothing was typed. Nothing is
// refused.
std::string OddNumber(const WordList::Item& item, const std::string& typed);

}  // namespace afterscope
