// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/look/look.hpp"

#include <string>

namespace afterscope {

// Buttons side by side, broken into lines where the room ends.
class ButtonRow {
 public:
  explicit ButtonRow(const Look& look) : look_(look) {}
  // One more, with the key that does it; true where it is pressed. chosen: what it switches is on.
  bool Add(const std::string& words, const std::string& key, bool chosen = false);

 private:
  const Look& look_;
  bool first_ = true;
};

// Two words of which one holds; the key that changes over stands with the other. True where that is pressed.
bool EitherButton(const Look& look, const std::string& one, const std::string& other, bool other_holds,
                  const std::string& key);

}  // namespace afterscope
