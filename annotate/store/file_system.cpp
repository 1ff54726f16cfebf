// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/file_system.hpp"

#include "annotate/store/pending_file.hpp"

#include <fmt/format.h>

#include <filesystem>

namespace afterscope {

std::string FolderOf(const std::string& path) {
  const std::string folder = std::filesystem::path(path).parent_path().string();
  return folder.empty() ? "." : folder;
}

Status ReplaceFile(FileSystem& files, const std::string& path, std::string_view bytes) {
  AFTERSCOPE_ASSIGN(const std::unique_ptr<PendingFile> file, PendingFile::Create(files, path));
  AFTERSCOPE_TRY(file->Append(bytes));
  return file->Keep();
}

Status WriteNewFile(FileSystem& files, const std::string& path, std::string_view bytes) {
  AFTERSCOPE_ASSIGN(const std::unique_ptr<PendingFile> file, PendingFile::Create(files, path));
  AFTERSCOPE_TRY(file->Append(bytes));
  return file->KeepIfFree();
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
    for (const std::string& name : inside)
      AFTERSCOPE_TRY(RemoveTree(files, fmt::format("{}/{}", path, name)));
  }
  return files.Remove(path);
}

}  // namespace afterscope
