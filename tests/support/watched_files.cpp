// SPDX-License-Identifier: Apache-2.0
#include "tests/support/watched_files.hpp"

#include <string_view>

namespace afterscope {
namespace {

class WatchedFile final : public WritableFile {
 public:
  WatchedFile(WatchedFiles& files, std::unique_ptr<WritableFile> inner)
      : files_(files), inner_(std::move(inner)) {}

  // A write that fails, or that the program does not survive, may have written a part: the first half goes
  // before.
  Status Append(std::string_view bytes) override {
    const std::size_t half = bytes.size() / 2;
    AFTERSCOPE_TRY(files_.Ask("append"));
    AFTERSCOPE_TRY(inner_->Append(bytes.substr(0, half)));
    AFTERSCOPE_TRY(files_.Ask("append"));
    return inner_->Append(bytes.substr(half));
  }
  Status WriteAt(std::int64_t position, std::string_view bytes) override {
    AFTERSCOPE_TRY(files_.Ask("write"));
    return inner_->WriteAt(position, bytes);
  }
  Status Sync() override {
    AFTERSCOPE_TRY(files_.Ask("sync"));
    return inner_->Sync();
  }
  Status Close() override {
    AFTERSCOPE_TRY(files_.Ask("close"));
    return inner_->Close();
  }

 private:
  WatchedFiles& files_;
  std::unique_ptr<WritableFile> inner_;
};

}  // namespace

Result<std::unique_ptr<WritableFile>> WatchedFiles::Create(const std::string& path) {
  AFTERSCOPE_TRY(Ask("create"));
  AFTERSCOPE_ASSIGN(auto file, inner_.Create(path));
  return std::unique_ptr<WritableFile>(std::make_unique<WatchedFile>(*this, std::move(file)));
}
Result<std::unique_ptr<WritableFile>> WatchedFiles::OpenAppend(const std::string& path) {
  AFTERSCOPE_TRY(Ask("open"));
  AFTERSCOPE_ASSIGN(auto file, inner_.OpenAppend(path));
  return std::unique_ptr<WritableFile>(std::make_unique<WatchedFile>(*this, std::move(file)));
}
Status WatchedFiles::Truncate(const std::string& path, std::int64_t size) {
  AFTERSCOPE_TRY(Ask("truncate"));
  return inner_.Truncate(path, size);
}
Status WatchedFiles::Rename(const std::string& from, const std::string& to) {
  AFTERSCOPE_TRY(Ask("rename"));
  return inner_.Rename(from, to);
}
Status WatchedFiles::RenameIfFree(const std::string& from, const std::string& to) {
  AFTERSCOPE_TRY(Ask("rename"));
  return inner_.RenameIfFree(from, to);
}
Status WatchedFiles::Remove(const std::string& path) {
  AFTERSCOPE_TRY(Ask("remove"));
  return inner_.Remove(path);
}
Status WatchedFiles::MakeFolder(const std::string& path) {
  AFTERSCOPE_TRY(Ask("mkdir"));
  return inner_.MakeFolder(path);
}
Status WatchedFiles::SyncFolder(const std::string& path) {
  AFTERSCOPE_TRY(Ask("sync folder"));
  return inner_.SyncFolder(path);
}
Result<std::unique_ptr<FileLock>> WatchedFiles::Lock(const std::string& path,
                                                     std::chrono::milliseconds wait) {
  AFTERSCOPE_TRY(Ask("lock"));
  return inner_.Lock(path, wait);
}
Result<std::unique_ptr<FileLock>> WatchedFiles::LockExisting(const std::string& path) {
  AFTERSCOPE_TRY(Ask("lock"));
  return inner_.LockExisting(path);
}

}  // namespace afterscope
