// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/whole_folder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace afterscope {
namespace {

std::string NameWhileMade(const std::string& path) {
  std::filesystem::path named = std::filesystem::path(path).lexically_normal();
  if (!named.has_filename()) named = named.parent_path();  // it ended with a slash
  return fmt::format("{}/.{}.unfinished", FolderOf(named.string()), named.filename().string());
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
  const std::string unfinished = NameWhileMade(path);
  AFTERSCOPE_TRY(RemoveTree(files, unfinished));
  Status made = fill(unfinished);
  if (made.ok()) made = TakeName(files, unfinished, path);
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
