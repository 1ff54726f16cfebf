// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/hidden_names.hpp"

#include <fmt/format.h>

#include <filesystem>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

constexpr const char* kThisCase = "this case";

bool IsOfWord(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '-'; }

bool StandsAlone(const std::string& text, std::size_t at, std::size_t length) {
  const std::size_t end = at + length;
  return (at == 0 || !IsOfWord(text[at - 1])) && (end >= text.size() || !IsOfWord(text[end]));
}

void Replace(std::string& text, const std::string& name, const std::string& by, bool alone) {
  if (name.empty()) return;
  for (std::size_t at = text.find(name); at != std::string::npos; at = text.find(name, at)) {
    if (alone && !StandsAlone(text, at, name.size())) {
      ++at;
      continue;
    }
    text.replace(at, name.size(), by);
    at += by.size();
  }
}

// A path that begins with the folder goes as a whole, up to the quote, space or end that closes it.
void ReplacePaths(std::string& text, const std::string& folder) {
  if (folder.empty()) return;
  const std::string inside = folder + "/";
  for (std::size_t at = text.find(inside); at != std::string::npos; at = text.find(inside)) {
    const std::size_t end = text.find_first_of("'\" ,;", at + inside.size());
    text.replace(at, (end == std::string::npos ? text.size() : end) - at, kThisCase);
  }
  Replace(text, folder, kThisCase, false);
}

}  // namespace

std::string WithoutNames(std::string text, const std::string& folder, const CaseRecord& record) {
  for (std::size_t i = 0; i < record.recordings.size(); ++i) {
    const fs::path path = record.recordings[i].path;
    if (path.empty()) continue;
    const std::string word = fmt::format("recording {}", i + 1);
    if (!folder.empty()) Replace(text, (fs::path(folder) / path).lexically_normal().string(), word, false);
    Replace(text, path.string(), word, false);
    Replace(text, path.filename().string(), word, true);
  }
  ReplacePaths(text, folder);
  Replace(text, fs::path(folder).filename().string(), kThisCase, true);
  Replace(text, record.code, kThisCase, true);
  Replace(text, record.operator_code, "operator", true);
  Replace(text, record.supervisor_code, "supervisor", true);
  return text;
}

}  // namespace afterscope
