// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/whole_folder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <system_error>

namespace afterscope {
namespace {

// From the root on, without links and dots: what lies beside "." is not in it.
std::string FullPath(const std::string& path) {
  std::error_code problem;
  std::filesystem::path full = std::filesystem::weakly_canonical(path, problem);
  if (problem) full = path;
  if (!full.has_filename()) full = full.parent_path();  // it ended with a slash
  return full.string();
}

std::string NameWhileMade(const std::string& path) {
  return fmt::format("{}/.{}.unfinished", FolderOf(path), std::filesystem::path(path).filename().string());
}

// The folder that is in the way of the new one's name goes, if nothing is in it.
Status TakeName(FileSystem& files, const std::string& made, const std::string& path) {
  AFTERSCOPE_ASSIGN(const FileInfo there, files.Stat(path));
  if (there.type != FileType::kAbsent) AFTERSCOPE_TRY(RemoveTree(files, path));
  AFTERSCOPE_TRY(files.Rename(made, path));
  return files.SyncFolder(FolderOf(path));
}

}  // namespace

Status MakeWholeFolder(FileSystem& files, const std::string& path,
                       const std::function<Status(const std::string& folder)>& fill) {
  AFTERSCOPE_ASSIGN(const FileInfo there, files.Stat(path));
  if (there.type != FileType::kAbsent && !IsUnused(files, path))
    return Error{ErrorCode::kUnwritable,
                 fmt::format("Can't make '{}': something is there already; give a new folder.", path)};
  const std::string target = FullPath(path), unfinished = NameWhileMade(target);
  AFTERSCOPE_TRY(RemoveTree(files, unfinished));
  Status made = fill(unfinished);
  if (made.ok()) made = TakeName(files, unfinished, target);
  if (made.ok()) return made;
  static_cast<void>(RemoveTree(files, unfinished));
  Error error = made.error();
  if (const auto at = error.message.find(unfinished); at != std::string::npos)
    error.message.replace(at, unfinished.size(), path);
  return error;
}

bool IsUnused(FileSystem& files, const std::string& folder) {
  const auto names = files.List(folder);
  return names.ok() && std::all_of(names->begin(), names->end(), [](const std::string& name) {
           return name == "lock" || IsTemporaryName(name);
         });
}

}  // namespace afterscope
