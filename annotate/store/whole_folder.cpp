// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/whole_folder.hpp"

#include "annotate/store/pending_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <string_view>
#include <system_error>
#include <utility>

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

constexpr std::string_view kEnding = ".unfinished";
constexpr int kMostTries = 3;

Error SomethingThere(const std::string& path) {
  return {ErrorCode::kUnwritable,
          fmt::format("Can't make '{}': something is there already; give a new folder.", path)};
}

// The names of folders while they are made: ".NAME.0123456789abcdef.unfinished" beside `path`.
std::string HiddenName(const std::string& path) {
  return fmt::format(".{}.", std::filesystem::path(path).filename().string());
}

bool IsNameWhileMade(std::string_view name, std::string_view hidden) {
  return name.starts_with(hidden) && name.ends_with(kEnding) &&
         name.size() > hidden.size() + kEnding.size() &&
         IsRandomMark(name.substr(hidden.size(), name.size() - hidden.size() - kEnding.size()));
}

// Those whose programs have ended; the others are locked.
void RemoveUnfinished(FileSystem& files, const std::string& path) {
  const auto names = files.List(FolderOf(path));
  if (!names.ok()) return;
  for (const std::string& name : *names) {
    if (!IsNameWhileMade(name, HiddenName(path))) continue;
    const std::string left = fmt::format("{}/{}", FolderOf(path), name);
    if (const auto lock = files.LockExisting(left); lock.ok()) static_cast<void>(RemoveTree(files, left));
  }
}

// What a program left that ended while it made a case goes; one that makes a case there now holds the lock.
Status EmptyUnused(FileSystem& files, const std::string& folder, const std::string& shown) {
  if (!IsUnused(files, folder)) return SomethingThere(shown);
  AFTERSCOPE_ASSIGN(const std::vector<std::string> names, files.List(folder));
  for (const std::string& name : names) {
    const std::string left = fmt::format("{}/{}", folder, name);
    const auto lock = files.LockExisting(left);
    if (!lock.ok()) return SomethingThere(shown);
    AFTERSCOPE_TRY(files.Remove(left));
  }
  return {};
}

bool IsFree(FileSystem& files, const std::string& path) {
  const auto there = files.Stat(path);
  if (!there.ok() || there->type == FileType::kAbsent) return true;
  const auto names = files.List(path);
  return names.ok() && names->empty();
}

// A folder being made, locked so that it can be told from a leftover. Another program that tidies up may have
// it first: then another one is made. Some file systems have no locks: there none is tidied up.
class Unfinished {
 public:
  Unfinished(FileSystem& files, std::string path, std::string target)
      : files_(files), shown_(std::move(path)), target_(std::move(target)) {}
  Unfinished(const Unfinished&) = delete;
  Unfinished& operator=(const Unfinished&) = delete;
  ~Unfinished() {
    if (!path_.empty()) static_cast<void>(RemoveTree(files_, path_));
  }

  Status Begin() {
    for (int tried = 0; tried < kMostTries && !lock_; ++tried) {
      if (!path_.empty()) AFTERSCOPE_TRY(RemoveTree(files_, path_));
      path_ = fmt::format("{}/{}{}{}", FolderOf(target_), HiddenName(target_), RandomMark(), kEnding);
      AFTERSCOPE_TRY(MakeFolders(files_, path_));
      if (auto lock = files_.LockExisting(path_); lock.ok()) lock_ = std::move(*lock);
    }
    return {};
  }

  // What has come there meanwhile stays: a folder gives way only while nothing lies in it
  // (FileSystem::Rename).
  Status TakeName() {
    AFTERSCOPE_ASSIGN(const FileInfo there, files_.Stat(target_));
    if (there.type != FileType::kAbsent) AFTERSCOPE_TRY(EmptyUnused(files_, target_, shown_));
    const Status named = files_.Rename(path_, target_);
    if (!named.ok()) return IsFree(files_, target_) ? named.error() : SomethingThere(shown_);
    path_.clear();
    return files_.SyncFolder(FolderOf(target_));
  }

  const std::string& path() const { return path_; }

 private:
  FileSystem& files_;
  std::string shown_;  // the target as it was given
  std::string target_;
  std::string path_;
  std::unique_ptr<FileLock> lock_;
};

}  // namespace

Status MakeWholeFolder(FileSystem& files, const std::string& path,
                       const std::function<Status(const std::string& folder)>& fill) {
  AFTERSCOPE_ASSIGN(const FileInfo there, files.Stat(path));
  if (there.type != FileType::kAbsent && !IsUnused(files, path)) return SomethingThere(path);
  const std::string target = FullPath(path);
  RemoveUnfinished(files, target);
  Unfinished unfinished(files, path, target);
  Status made = unfinished.Begin();
  if (made.ok()) made = fill(unfinished.path());
  if (made.ok()) made = unfinished.TakeName();
  if (made.ok()) return made;
  Error error = made.error();
  const std::string& name = unfinished.path();
  if (const auto at = error.message.find(name); !name.empty() && at != std::string::npos)
    error.message.replace(at, name.size(), path);
  return error;
}

bool IsUnused(FileSystem& files, const std::string& folder) {
  const auto names = files.List(folder);
  return names.ok() && std::all_of(names->begin(), names->end(), [&](const std::string& name) {
           if (IsTemporaryName(name)) return true;
           const auto lock = name == "lock" ? files.Stat(folder + "/lock") : FileInfo{};
           return lock.ok() && lock->type == FileType::kRegular && lock->size == 0;
         });
}

}  // namespace afterscope
