// SPDX-License-Identifier: Apache-2.0
#include "app/common/narration_file.hpp"

#include "annotate/narration/narration_edits.hpp"
#include "app/common/assets.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

constexpr std::int64_t kMostNarrationBytes = 16LL << 20;

Result<NarrationRules> RulesFor(const std::string& language, const TimedText& text) {
  const std::string folder = AssetsFolder() + "/narration";
  if (!language.empty() && language.find('/') == std::string::npos && language.find('.') == std::string::npos)
    return LoadNarrationRules(fmt::format("{}/{}.json", folder, language));
  if (!language.empty()) return LoadNarrationRules(language);
  AFTERSCOPE_ASSIGN(const std::vector<NarrationRules> all, LoadAllNarrationRules(folder));
  std::string words;
  for (const Cue& cue : text.cues) words += cue.text + " ";
  return RulesForText(all, words);
}

}  // namespace

Result<NarrationFile> ReadNarrationFile(const std::string& path, const std::string& language) {
  AFTERSCOPE_ASSIGN(const std::string bytes, RealFileSystem().ReadAll(path, kMostNarrationBytes));
  NarrationFile narration;
  auto text = ReadTimedText(bytes);
  if (!text.ok()) return Error{text.error().code, fmt::format("{} ({})", text.error().message, path)};
  narration.text = std::move(*text);
  AFTERSCOPE_ASSIGN(narration.rules, RulesFor(language, narration.text));
  AFTERSCOPE_ASSIGN(narration.usual, LoadSettingRanges(AssetsFolder() + "/settings.json"));
  return narration;
}

}  // namespace afterscope
