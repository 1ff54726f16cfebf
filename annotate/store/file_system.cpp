// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/file_system.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <random>

namespace afterscope {
namespace {

std::string FolderOf(const std::string& path) {
  const std::string folder = std::filesystem::path(path).parent_path().string();
  return folder.empty() ? "." : folder;
}

std::string TemporaryNameFor(const std::string& path) {
  std::random_device random;
  return fmt::format("{}.{:08x}{:08x}.tmp", path, random(), random());
}

// Where `path` is a link, what it leads to, so that the link stays.
std::string Target(const std::string& path) {
  std::error_code problem;
  if (!std::filesystem::is_symlink(path, problem)) return path;
  const auto target = std::filesystem::canonical(path, problem);
  return problem ? path : target.string();
}

Status WriteNew(FileSystem& files, const std::string& path, std::string_view bytes) {
  AFTERSCOPE_ASSIGN(const std::unique_ptr<WritableFile> file, files.Create(path));
  AFTERSCOPE_TRY(file->Append(bytes));
  AFTERSCOPE_TRY(file->Sync());
  return file->Close();
}

}  // namespace

bool IsTemporaryName(std::string_view name) {
  return name.size() > 21 && name.ends_with(".tmp") && name[name.size() - 21] == '.';
}

Status ReplaceFile(FileSystem& files, const std::string& path, std::string_view bytes) {
  const std::string target = Target(path);
  std::error_code unknown;
  const auto there = std::filesystem::status(target, unknown);
  if (std::filesystem::exists(there) && !std::filesystem::is_regular_file(there))
    return Error{
        ErrorCode::kUnwritable,
        fmt::format("Can't write '{}': it is a folder or a device, not a file; give another name.", path)};
  const std::string temporary = TemporaryNameFor(target);
  Status written = WriteNew(files, temporary, bytes);
  if (written.ok()) written = files.Rename(temporary, target);
  if (!written.ok()) {
    static_cast<void>(files.Remove(temporary));
    return written;
  }
  return files.SyncFolder(FolderOf(target));
}

Status MakeFolders(FileSystem& files, const std::string& path) {
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(path));
  if (info.type == FileType::kDirectory) return {};
  const std::filesystem::path folder = std::filesystem::path(path).lexically_normal();
  const std::filesystem::path plain = folder.has_filename() ? folder : folder.parent_path();
  const std::string above = FolderOf(plain.string());
  if (above != plain.string()) AFTERSCOPE_TRY(MakeFolders(files, above));
  AFTERSCOPE_TRY(files.MakeFolder(plain.string()));
  return files.SyncFolder(above);
}

Status RemoveTree(FileSystem& files, const std::string& path) {
  std::error_code ignored;
  if (std::filesystem::is_symlink(path, ignored)) return files.Remove(path);
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(path));
  if (info.type == FileType::kAbsent) return {};
  if (info.type == FileType::kDirectory) {
    AFTERSCOPE_ASSIGN(const std::vector<std::string> inside, files.List(path));
    for (const std::string& name : inside) AFTERSCOPE_TRY(RemoveTree(files, path + "/" + name));
  }
  return files.Remove(path);
}

}  // namespace afterscope
