// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/look/look.hpp"

#include <map>
#include <optional>
#include <string>

namespace afterscope {

// Fields of a sheet while they are being typed, by a name of their own.
using TypedTexts = std::map<std::string, std::string>;

// Words at the left and a field beside them (over it where `words_above`). `kept` is what the case holds.
// Returns what was typed, once, when the field is left after a change; Escape leaves it as it was.
struct TextField {
  std::string name;
  std::string words;
  std::string hint;
  bool words_above = false;
};
std::optional<std::string> DrawTextField(const Look& look, TypedTexts& typed, const TextField& field,
                                         const std::string& kept);

// Words at the left of what is drawn next.
void FieldWords(const Look& look, const std::string& words);

}  // namespace afterscope
