// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/pending_file.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <random>
#include <utility>

namespace afterscope {
namespace {

constexpr std::size_t kMarkLength = 16;
constexpr std::size_t kTemporaryEnding = 1 + kMarkLength + 4;  // ".0123456789abcdef.tmp"

std::string TemporaryNameFor(const std::string& path) { return fmt::format("{}.{}.tmp", path, RandomMark()); }

std::string NameOf(const std::string& path) { return std::filesystem::path(path).filename().string(); }

// Where `path` is a link, what it leads to, so that the link stays.
std::string Target(const std::string& path) {
  std::error_code problem;
  if (!std::filesystem::is_symlink(path, problem)) return path;
  const auto target = std::filesystem::canonical(path, problem);
  return problem ? path : target.string();
}

}  // namespace

std::string RandomMark() {
  std::random_device random;
  return fmt::format("{:08x}{:08x}", random(), random());
}

bool IsRandomMark(std::string_view text) {
  return text.size() == kMarkLength && text.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

bool IsTemporaryName(std::string_view name) {
  return name.size() > kTemporaryEnding && name.ends_with(".tmp") &&
         name[name.size() - kTemporaryEnding] == '.' &&
         IsRandomMark(name.substr(name.size() - kTemporaryEnding + 1, kMarkLength));
}

void RemoveLeftovers(FileSystem& files, const std::string& folder, std::string_view of) {
  const auto names = files.List(folder);
  if (!names.ok()) return;
  for (const std::string& name : *names) {
    if (!IsTemporaryName(name) || (!of.empty() && name.substr(0, name.size() - kTemporaryEnding) != of))
      continue;
    const std::string path = fmt::format("{}/{}", folder, name);
    if (const auto lock = files.LockExisting(path); lock.ok()) static_cast<void>(files.Remove(path));
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

// It is closed, and so unlocked, only when it has its name: else another program could take it for a leftover
// in between. Closing has nothing to say of what is synced.
Status PendingFile::KeepAs(Status (FileSystem::*rename)(const std::string&, const std::string&)) {
  AFTERSCOPE_TRY(Told(file_->Sync()));
  AFTERSCOPE_TRY(Told((files_.*rename)(temporary_, target_)));
  renamed_ = true;
  file_.reset();
  return files_.SyncFolder(FolderOf(target_));
}

Status PendingFile::KeepIfFree() {
  const Status kept = KeepAs(&FileSystem::RenameIfFree);
  if (kept.ok() || renamed_) return kept;
  std::error_code unknown;
  const auto there = std::filesystem::symlink_status(target_, unknown);
  return std::filesystem::exists(there) ? IsThereAlready(path_) : kept.error();
}

Error IsThereAlready(const std::string& path) {
  return {ErrorCode::kUnwritable,
          fmt::format("'{}' is there already: give another name, or remove it first.", path)};
}

}  // namespace afterscope
