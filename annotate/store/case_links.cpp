// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_links.hpp"

#include <fmt/format.h>

#include <filesystem>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

constexpr int kDeepest = 3;  // reviews/ID/trails

Error IsLink(const std::string& path) {
  return {ErrorCode::kUnreadable,
          fmt::format(
              "Can't open the case: '{}' is a link, and a case is never written through one; put the file "
              "itself there.",
              path)};
}

Status RefuseLinksIn(const fs::path& folder, int depth) {
  std::error_code problem;
  for (fs::directory_iterator at(folder, problem), end; !problem && at != end; at.increment(problem)) {
    std::error_code ignored;
    if (at->is_symlink(ignored)) return IsLink(at->path().string());
    if (depth < kDeepest && at->is_directory(ignored)) AFTERSCOPE_TRY(RefuseLinksIn(at->path(), depth + 1));
  }
  return {};
}

}  // namespace

Status RefuseLinks(const std::string& case_folder) {
  for (const char* name : {"case.json", "journal", "lock", "reviews", "cache"}) {
    const fs::path path = fs::path(case_folder) / name;
    std::error_code ignored;
    if (fs::is_symlink(path, ignored)) return IsLink(path.string());
  }
  return RefuseLinksIn(fs::path(case_folder) / "reviews", 1);
}

}  // namespace afterscope
