// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/exchange/timed_text.hpp"
#include "annotate/narration/rules.hpp"
#include "annotate/narration/spoken_drafts.hpp"
#include "metrics/base/result.hpp"

#include <map>
#include <string>

namespace afterscope {

// A narration from a file with what is needed to make drafts of it.
struct NarrationFile {
  TimedText text;
  NarrationRules rules;
  std::map<std::string, ValueRange> usual;
};

// language: one of assets/narration ("en"), or a file of rules; empty: told from the words. Fails with one
// sentence that names the file. Blocks.
Result<NarrationFile> ReadNarrationFile(const std::string& path, const std::string& language = {});

}  // namespace afterscope
