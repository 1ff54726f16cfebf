// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <chrono>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// A file open for writing. Every call may fail and says why; nothing is durable before Sync returned success.
// A failed Sync is final: the file must not be trusted or synced again. It fails for a file that was removed.
class WritableFile {
 public:
  virtual ~WritableFile() = default;
  virtual Status Append(std::string_view bytes) = 0;
  // Overwrites at a position that already exists or continues the file (an encoder's container needs it).
  virtual Status WriteAt(std::int64_t position, std::string_view bytes) = 0;
  virtual Status Sync() = 0;
  virtual Status Close() = 0;  // at most once; the destructor closes silently
};

// Holds a lock until destroyed.
class FileLock {
 public:
  virtual ~FileLock() = default;
};

enum class FileType { kAbsent, kRegular, kDirectory, kOther };

struct FileInfo {
  FileType type = FileType::kAbsent;
  std::int64_t size = 0;
  std::int64_t modified_ns = 0;  // since 1970
};

// The one layer under everything that the program writes, so that tests can make each call fail or end the
// process at it. Paths are UTF-8. Files are made readable and writable by their owner only (0600), folders
// 0700. Thread-safe.
class FileSystem {
 public:
  virtual ~FileSystem() = default;

  virtual Result<FileInfo> Stat(const std::string& path) = 0;  // kAbsent is not an error; links are followed
  virtual Result<std::string> ReadAll(const std::string& path, std::int64_t most_bytes) = 0;
  virtual Result<std::vector<std::string>> List(
      const std::string& folder) = 0;  // names, sorted, without "." and ".."
  virtual Result<std::unique_ptr<WritableFile>> Create(const std::string& path) = 0;      // must not exist
  virtual Result<std::unique_ptr<WritableFile>> OpenAppend(const std::string& path) = 0;  // made if absent
  virtual Status Truncate(const std::string& path, std::int64_t size) = 0;  // durable when it returns success
  // Replaces `to`; a folder only one in which nothing lies.
  virtual Status Rename(const std::string& from, const std::string& to) = 0;
  // Of a file: fails where anything is at `to`, which stays, also where it came at the last moment.
  virtual Status RenameIfFree(const std::string& from, const std::string& to) = 0;
  virtual Status Remove(const std::string& path) = 0;
  virtual Status MakeFolder(const std::string& path) = 0;  // success if it is already there
  virtual Status SyncFolder(const std::string& path) = 0;
  // Made if absent. Fails with kUnwritable if another program holds it, for longer than `wait`.
  virtual Result<std::unique_ptr<FileLock>> Lock(const std::string& path, std::chrono::milliseconds wait) = 0;
  Result<std::unique_ptr<FileLock>> Lock(const std::string& path) { return Lock(path, {}); }
  // The same of a file or a folder that is there, never made; a file is locked from Create until it is
  // closed. Fails too if it is gone.
  virtual Result<std::unique_ptr<FileLock>> LockExisting(const std::string& path) = 0;
};

// The real one.
FileSystem& RealFileSystem();

// The folder that a path lies in.
std::string FolderOf(const std::string& path);

// Writes a temporary file in the same folder, syncs, renames it over `path`, syncs the folder: afterwards
// `path` holds the old bytes or the new ones, never a mix. A link to a file keeps being one; a folder or a
// device is refused.
Status ReplaceFile(FileSystem& files, const std::string& path, std::string_view bytes);

// The same, but fails where anything is at `path`, which stays.
Status WriteNewFile(FileSystem& files, const std::string& path, std::string_view bytes);

// Whether a name is that of a temporary file of PendingFile, left by a program that ended in it.
bool IsTemporaryName(std::string_view name);

// Makes a folder and those above it that are missing.
Status MakeFolders(FileSystem& files, const std::string& path);

// Removes a file, or a folder with all that is in it; success if it is absent. A link is removed, never what
// it points to.
Status RemoveTree(FileSystem& files, const std::string& path);

}  // namespace afterscope
