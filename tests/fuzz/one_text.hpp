// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <string>
#include <string_view>
#include <unistd.h>
#include <vector>

namespace afterscope {

// A file system that holds one text under every name, and takes nothing.
class OneText : public FileSystem {
 public:
  explicit OneText(std::string_view text) : text_(text) {}

  Result<FileInfo> Stat(const std::string&) override {
    return FileInfo{FileType::kRegular, static_cast<std::int64_t>(text_.size()), 0};
  }
  Result<std::string> ReadAll(const std::string&, std::int64_t) override { return std::string(text_); }
  Result<std::vector<std::string>> List(const std::string&) override {
    return std::vector<std::string>{"one.json"};
  }
  Result<std::unique_ptr<WritableFile>> Create(const std::string&) override { return Refused(); }
  Result<std::unique_ptr<WritableFile>> OpenAppend(const std::string&) override { return Refused(); }
  Status Truncate(const std::string&, std::int64_t) override { return Refused(); }
  Status Rename(const std::string&, const std::string&) override { return Refused(); }
  Status RenameIfFree(const std::string&, const std::string&) override { return Refused(); }
  Status Remove(const std::string&) override { return Refused(); }
  Status MakeFolder(const std::string&) override { return Refused(); }
  Status SyncFolder(const std::string&) override { return Refused(); }
  Result<std::unique_ptr<FileLock>> Lock(const std::string&, std::chrono::milliseconds) override {
    return Refused();
  }
  Result<std::unique_ptr<FileLock>> LockExisting(const std::string&) override { return Refused(); }

 private:
  static Error Refused() { return {ErrorCode::kUnwritable, "Nothing is written here."}; }
  std::string_view text_;
};

// Ends the run: the fuzzer keeps the input.
inline void Demand(bool holds, const char* what) {
  if (holds) return;
  std::fprintf(stderr, "%s\n", what);
  std::abort();
}

// For readers that open their file by themselves: one in a folder that lies in memory, where there is such.
class FileOfBytes {
 public:
  FileOfBytes() : path_(::access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp") {
    path_ += "/afterscope-XXXXXX";
    file_ = ::mkstemp(path_.data());
    Demand(file_ >= 0, "There is no temporary file.");
  }
  ~FileOfBytes() {
    ::close(file_);
    ::unlink(path_.c_str());
  }
  FileOfBytes(const FileOfBytes&) = delete;
  FileOfBytes& operator=(const FileOfBytes&) = delete;

  const std::string& Holding(std::string_view bytes) {
    Demand(::ftruncate(file_, 0) == 0 &&
               ::pwrite(file_, bytes.data(), bytes.size(), 0) == static_cast<ssize_t>(bytes.size()),
           "The temporary file can't be written.");
    return path_;
  }

 private:
  std::string path_;
  int file_ = -1;
};

}  // namespace afterscope
