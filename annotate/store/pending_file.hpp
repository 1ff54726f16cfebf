// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"

#include <memory>
#include <string>
#include <string_view>

namespace afterscope {

// A file being written under a temporary name in the folder of its own, which it takes when it is kept:
// until then, and where that fails, `path` holds what it held before. What a program that ended left of an
// earlier try goes with the next one. A link to a file keeps being one; a folder or a device is refused.
// Sentences of errors name `path`, never the temporary file.
class PendingFile {
 public:
  static Result<std::unique_ptr<PendingFile>> Create(FileSystem& files, const std::string& path);
  ~PendingFile();  // removes the temporary file unless Keep succeeded
  PendingFile(const PendingFile&) = delete;
  PendingFile& operator=(const PendingFile&) = delete;

  Status Append(std::string_view bytes) { return Told(file_->Append(bytes)); }
  Status WriteAt(std::int64_t position, std::string_view bytes) {
    return Told(file_->WriteAt(position, bytes));
  }
  // Syncs, renames, syncs the folder. At most once.
  Status Keep() { return KeepAs(&FileSystem::Rename); }
  // The same, but fails where anything is at `path` by now, which stays.
  Status KeepIfFree();

 private:
  PendingFile(FileSystem& files, std::string path);
  Status Told(Status status) const;
  Status KeepAs(Status (FileSystem::*rename)(const std::string&, const std::string&));

  FileSystem& files_;
  std::string path_;       // as the user gave it
  std::string target_;     // where that is a link: what it leads to
  std::string temporary_;  // beside the target
  std::unique_ptr<WritableFile> file_;
  bool renamed_ = false;
};

// What sets temporary names apart, never the same twice: 16 hexadecimal digits.
std::string RandomMark();
bool IsRandomMark(std::string_view text);

// That something is at `path`, where a file is to be written that never takes the place of another.
Error IsThereAlready(const std::string& path);

// Removes temporary files from a folder whose programs have ended; those that are being written are locked
// and stay, and so does what can't be removed. `of`: only those of the file of that name; empty: all.
void RemoveLeftovers(FileSystem& files, const std::string& folder, std::string_view of = {});

}  // namespace afterscope
