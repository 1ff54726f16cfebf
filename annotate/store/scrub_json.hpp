// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/text_search.hpp"
#include "annotate/store/json_text.hpp"

#include <nlohmann/json.hpp>

#include <string>
#include <vector>

namespace afterscope {

// What stands where a text was scrubbed.
inline constexpr std::string_view kPutInstead = "[scrubbed]";

// What is to be replaced: what was asked for, then the names of sounds that go with it.
using ScrubTexts = std::vector<std::string>;

std::string ScrubbedOf(std::string from, const ScrubTexts& texts, TextForm form = TextForm::kPlain);

// Replaces the texts in all that users wrote; false: nothing was changed. free_names: the members' names are
// theirs too.
bool ScrubJson(Json& json, const ScrubTexts& texts, bool free_names = false);

}  // namespace afterscope
