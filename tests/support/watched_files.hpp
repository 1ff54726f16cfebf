// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// Calls that can change something are counted, and `before` is asked at each: it returns an error to fail the
// call, or does not return at all. Reading calls pass.
class WatchedFiles final : public FileSystem {
 public:
  using Before = std::function<Status(int call, const std::string& what)>;
  WatchedFiles(FileSystem& inner, Before before) : inner_(inner), before_(std::move(before)) {}

  int calls() const { return calls_; }
  Status Ask(const std::string& what) { return before_(++calls_, what); }

  Result<FileInfo> Stat(const std::string& path) override { return inner_.Stat(path); }
  Result<std::string> ReadAll(const std::string& path, std::int64_t most) override {
    return inner_.ReadAll(path, most);
  }
  Result<std::vector<std::string>> List(const std::string& folder) override { return inner_.List(folder); }
  Result<std::unique_ptr<WritableFile>> Create(const std::string& path) override;
  Result<std::unique_ptr<WritableFile>> OpenAppend(const std::string& path) override;
  Status Truncate(const std::string& path, std::int64_t size) override;
  Status Rename(const std::string& from, const std::string& to) override;
  Status RenameIfFree(const std::string& from, const std::string& to) override;
  Status Remove(const std::string& path) override;
  Status MakeFolder(const std::string& path) override;
  Status SyncFolder(const std::string& path) override;
  Result<std::unique_ptr<FileLock>> Lock(const std::string& path, std::chrono::milliseconds wait) override;
  Result<std::unique_ptr<FileLock>> LockExisting(const std::string& path) override;

 private:
  FileSystem& inner_;
  Before before_;
  int calls_ = 0;
};

}  // namespace afterscope
