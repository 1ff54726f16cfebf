// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_links.hpp"

#include "annotate/store/file_system.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <string_view>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

// Where the program itself reads and writes; beside these it does with files of the names in IsOwnPlace.
constexpr std::array<std::string_view, 6> kOwnPlaces{"lock",  "reviews",      "cache",
                                                     "clips", "score_sheets", "report.pdf"};

Error IsLink(const fs::path& path) {
  return {ErrorCode::kUnreadable,
          fmt::format(
              "Can't open the case: '{}' is a link, and a case is never written through one; put the file "
              "itself there.",
              path.string())};
}

bool IsOwnPlace(const std::string& inside) {
  const std::string first = fs::path(inside).begin()->string();
  return std::find(kOwnPlaces.begin(), kOwnPlaces.end(), first) != kOwnPlaces.end() ||
         first.starts_with("journal") || first.starts_with("case.json") || first.ends_with(".json") ||
         IsTemporaryName(first);
}

// What goes away meanwhile, or may not be looked into, is passed over.
void AddLinksIn(const fs::path& folder, const fs::path& inside, std::vector<std::string>& links) {
  std::error_code problem;
  for (fs::directory_iterator at(folder, problem), end; !problem && at != end; at.increment(problem)) {
    std::error_code ignored;
    const fs::path name = inside / at->path().filename();
    if (at->is_symlink(ignored))
      links.push_back(name.string());
    else if (at->is_directory(ignored))
      AddLinksIn(at->path(), name, links);
  }
}

}  // namespace

Result<std::vector<std::string>> LinksBesides(const std::string& case_folder) {
  std::vector<std::string> links;
  AddLinksIn(case_folder, {}, links);
  for (const std::string& link : links)
    if (IsOwnPlace(link)) return IsLink(fs::path(case_folder) / link);
  return links;
}

Status RefuseUnnamedLinks(const std::string& case_folder, const std::vector<std::string>& links,
                          const CaseRecord& record) {
  for (const std::string& link : links) {
    const bool named =
        std::any_of(record.recordings.begin(), record.recordings.end(), [&](const RecordingRef& recording) {
          return fs::path(recording.path).lexically_normal() == fs::path(link).lexically_normal();
        });
    if (!named) return IsLink(fs::path(case_folder) / link);
  }
  return {};
}

}  // namespace afterscope
