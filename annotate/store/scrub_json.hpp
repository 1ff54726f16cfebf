// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/text_search.hpp"
#include "annotate/store/file_system.hpp"
#include "annotate/store/json_text.hpp"
#include "metrics/base/result.hpp"

#include <nlohmann/json.hpp>

#include <cstdint>
#include <set>
#include <string>
#include <string_view>
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

// The ids in it, which ScrubJson leaves: of reviews, items, step lists and score sheets.
void CollectIds(const Json& json, std::set<std::string>& ids);

// A file that can't be rewritten as what it is (put aside, unreadable and the like): the texts are replaced
// in its bytes. kUnreadable where it is longer than `most`.
Status ScrubBytes(FileSystem& files, const std::string& path, const ScrubTexts& texts, std::int64_t most);

}  // namespace afterscope
