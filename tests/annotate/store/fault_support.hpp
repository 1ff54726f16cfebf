// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/store/file_system.hpp"
#include "tests/support/watched_files.hpp"

#include <functional>
#include <map>
#include <memory>
#include <random>
#include <set>
#include <string>
#include <vector>

namespace afterscope {

// A file system in memory that knows what has been synced. The bytes of a file are durable after Sync, its
// name after SyncFolder of its folder; a truncation at once.
class MemoryFiles final : public FileSystem {
 public:
  MemoryFiles();

  // What a machine holds that lost its power now. `keep`: for each file and folder in turn, whether what was
  // not synced happened to reach the disk; of bytes appended, then a part may have.
  std::unique_ptr<MemoryFiles> AfterPowerLoss(const std::function<bool()>& keep, std::mt19937& random) const;

  Result<FileInfo> Stat(const std::string& path) override;
  Result<std::string> ReadAll(const std::string& path, std::int64_t most) override;
  Result<std::vector<std::string>> List(const std::string& folder) override;
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

  struct Node {
    std::string now;
    std::string durable;
  };
  struct Folder {
    std::map<std::string, std::shared_ptr<Node>> now;
    std::map<std::string, std::shared_ptr<Node>> durable;
    std::set<std::string> folders_now;
    std::set<std::string> folders_durable;
  };

 private:
  Folder* FolderAt(const std::string& path);
  std::shared_ptr<Node> NodeAt(const std::string& path);

  std::map<std::string, Folder> folders_;
  std::shared_ptr<std::set<std::string>> locks_ = std::make_shared<std::set<std::string>>();
};

struct CaseState {
  bool there = false;
  CaseRecord record;
  Review review;
  friend bool operator==(const CaseState&, const CaseState&) = default;
};

// What a session shows as it can be compared with another run's: without what time and chance give.
CaseState Comparable(CaseRecord record, Review review);

// Makes a case, opens it, and makes a series of changes of every kind, with undo, redo and checkpoints in
// between; stops at the first change that is not acknowledged. `acknowledged` is called with the state after
// each one that is, from the made case on.
void RunScenario(FileSystem& files, const std::string& folder,
                 const std::function<void(const CaseState&)>& acknowledged);

// The states of a clean run: [0] no case, [1] the made case ...
std::vector<CaseState> CleanStates();

// Opens the case and returns what it holds; not `there` where it can't be opened.
CaseState StateOf(FileSystem& files, const std::string& folder);

}  // namespace afterscope
