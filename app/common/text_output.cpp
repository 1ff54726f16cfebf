// SPDX-License-Identifier: Apache-2.0
#include "app/common/text_output.hpp"

#include "annotate/platform/terminal.hpp"
#include "annotate/report/safe_text.hpp"
#include "annotate/store/user_file.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <set>
#include <system_error>
#include <utility>

namespace afterscope {

std::string ForOutput(const std::string& text, bool to_terminal) {
  return to_terminal ? SafeText(text) : text;
}

void ShowText(const std::string& text) { fmt::print("{}", ForOutput(text, StandardOutputIsTerminal())); }

void ShowJson(const std::string& json) { ShowText(EscapedJson(json)); }

Status RefuseSameOutput(const std::vector<std::string>& paths) {
  std::set<std::filesystem::path> places;
  for (const std::string& path : paths) {
    if (path.empty()) continue;
    std::error_code unknown;
    std::filesystem::path place = std::filesystem::absolute(path, unknown);
    if (!unknown) place = std::filesystem::weakly_canonical(place, unknown);
    if (unknown || path == "-") place = path;
    if (!places.insert(std::move(place)).second)
      return Error{ErrorCode::kBadCall,
                   fmt::format("'{}' is given for two results: one would be written over the other.", path)};
  }
  return {};
}

Status WriteOutput(const std::string& path, const std::string& text) {
  if (path != "-") return WriteUserFile(RealFileSystem(), path, text);
  ShowText(text);
  return {};
}

Status WriteJsonOutput(const std::string& path, const std::string& json) {
  return WriteOutput(path, EscapedJson(json));
}

}  // namespace afterscope
