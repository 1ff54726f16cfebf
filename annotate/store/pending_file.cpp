// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/pending_file.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <random>
#include <utility>

namespace afterscope {
namespace {

constexpr std::size_t kTemporaryEnding = 21;  // ".0123456789abcdef.tmp"

std::string TemporaryNameFor(const std::string& path) {
  std::random_device random;
  return fmt::format("{}.{:08x}{:08x}.tmp", path, random(), random());
}

std::string NameOf(const std::string& path) { return std::filesystem::path(path).filename().string(); }

// Where `path` is a link, what it leads to, so that the link stays.
std::string Target(const std::string& path) {
  std::error_code problem;
  if (!std::filesystem::is_symlink(path, problem)) return path;
  const auto target = std::filesystem::canonical(path, problem);
  return problem ? path : target.string();
}

}  // namespace

bool IsTemporaryName(std::string_view name) {
  return name.size() > kTemporaryEnding && name.ends_with(".tmp") &&
         name[name.size() - kTemporaryEnding] == '.';
}

void RemoveLeftovers(FileSystem& files, const std::string& folder, std::string_view of) {
  const auto names = files.List(folder);
  if (!names.ok()) return;
  for (const std::string& name : *names) {
    if (!IsTemporaryName(name) || (!of.empty() && name.substr(0, name.size() - kTemporaryEnding) != of))
      continue;
    const std::string path = fmt::format("{}/{}", folder, name);
    if (const auto lock = files.Lock(path); lock.ok()) static_cast<void>(files.Remove(path));
  }
}

PendingFile::PendingFile(FileSystem& files, std::string path)
    : files_(files), path_(std::move(path)), target_(Target(path_)), temporary_(TemporaryNameFor(target_)) {}

Result<std::unique_ptr<PendingFile>> PendingFile::Create(FileSystem& files, const std::string& path) {
  std::unique_ptr<PendingFile> pending(new PendingFile(files, path));
  std::error_code unknown;
  const auto there = std::filesystem::status(pending->target_, unknown);
  if (std::filesystem::exists(there) && !std::filesystem::is_regular_file(there))
    return Error{
        ErrorCode::kUnwritable,
        fmt::format("Can't write '{}': it is a folder or a device, not a file; give another name.", path)};
  RemoveLeftovers(files, FolderOf(pending->target_), NameOf(pending->target_));
  auto file = files.Create(pending->temporary_);
  if (!file.ok()) return pending->Told(file.error()).error();
  pending->file_ = std::move(*file);
  return pending;
}

PendingFile::~PendingFile() {
  if (!file_ || renamed_) return;
  file_.reset();
  static_cast<void>(files_.Remove(temporary_));
}

Status PendingFile::Told(Status status) const {
  if (status.ok()) return status;
  Error error = status.error();
  if (const auto at = error.message.find(temporary_); at != std::string::npos)
    error.message.replace(at, temporary_.size(), path_);
  return error;
}

Status PendingFile::Keep() {
  AFTERSCOPE_TRY(Told(file_->Sync()));
  AFTERSCOPE_TRY(Told(file_->Close()));
  AFTERSCOPE_TRY(Told(files_.Rename(temporary_, target_)));
  renamed_ = true;
  return files_.SyncFolder(FolderOf(target_));
}

}  // namespace afterscope
