// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/user_file.hpp"

#include "annotate/store/step_list_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <system_error>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kLookedAt = 4096, kMark = 4;  // bytes; the mark of PDF and PNG
constexpr std::array<std::string_view, 5> kOfCase{"case.json", "journal", "lock", "reviews", "score_sheets"};

std::string StartOf(const std::string& path) {
  std::string bytes(kLookedAt, '\0');
  std::ifstream file(path, std::ios::binary);
  file.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  bytes.resize(static_cast<std::size_t>(std::max<std::streamsize>(file.gcount(), 0)));
  return bytes;
}

// Text has no zero bytes; what is not text is known by its mark.
bool IsOfOneKind(std::string_view there, std::string_view bytes) {
  const bool text = there.find('\0') == std::string_view::npos;
  return (text && !there.starts_with("%PDF")) || there.substr(0, kMark) == bytes.substr(0, kMark);
}

// Whether the file is one of those that a case folder above it is made of.
bool IsOfCase(FileSystem& files, const fs::path& full) {
  fs::path below = full.filename();
  for (fs::path folder = full.parent_path(); folder.has_relative_path(); folder = folder.parent_path()) {
    const std::string first = below.begin()->string();
    const auto journal = files.Stat((folder / "journal").string());
    const bool json = full.extension() == ".json";
    const bool plan = json && first == "clips";
    const bool own_steps = json && full.filename() == first && IsStepListFile(full.string(), files);
    if (journal.ok() && journal->type == FileType::kRegular &&
        (plan || own_steps || std::find(kOfCase.begin(), kOfCase.end(), first) != kOfCase.end()))
      return true;
    below = folder.filename() / below;
  }
  return false;
}

}  // namespace

Status WriteUserFile(FileSystem& files, const std::string& path, std::string_view bytes) {
  AFTERSCOPE_ASSIGN(const FileInfo there, files.Stat(path));
  if (there.type == FileType::kRegular) {
    std::error_code problem;
    const fs::path full = fs::weakly_canonical(path, problem);
    if (IsOfCase(files, problem ? fs::path(path) : full))
      return Error{
          ErrorCode::kUnwritable,
          fmt::format("'{}' is what a case is made of and is not written over; give another name.", path)};
    if (!IsOfOneKind(StartOf(path), bytes))
      return Error{
          ErrorCode::kUnwritable,
          fmt::format("'{}' is a file of another kind and is not written over; give another name.", path)};
  }
  return ReplaceFile(files, path, bytes);
}

}  // namespace afterscope
