// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/forget.hpp"

#include "annotate/jobs/series/update_index.hpp"
#include "annotate/media/table_store.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/fingerprint.hpp"
#include "annotate/store/index/case_index.hpp"
#include "annotate/store/index/case_snapshot.hpp"
#include "annotate/store/step_list_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <optional>
#include <utility>

namespace afterscope {
namespace {

// By these a folder is a case; what they are called once it is none, until all of it is gone.
constexpr std::array<std::string_view, 2> kOfCase{"case.json", "journal"};
constexpr std::string_view kForgotten = ".forgotten";
constexpr std::array<std::pair<std::string_view, std::string_view>, 9> kOwnNames{{
    {"cache", "small pictures, proxies and kept findings"},
    {"clips", "clip plans, and what was put beside them"},
    {"report.pdf", "the report as last written"},
    {"score_sheets", "copies of score sheets"},
    {"reviews", "the reviews, signed ones too, with their journals and spoken remarks"},
    {"case.json", "the case record"},
    {"journal", "the journal of the case record"},
    {"case.json.forgotten", "the case record"},
    {"journal.forgotten", "the journal of the case record"},
}};

// What the program calls a name in a case folder; empty: it is not the program's.
std::string WhatIs(const std::string& folder, const std::string& name, FileSystem& files) {
  for (const auto& [own, what] : kOwnNames)
    if (name == own) return std::string(what);
  if (name.starts_with("journal.damaged-")) return "a damaged journal that was put aside";
  if (name.starts_with("case.json.set-aside-")) return "a case record that was put aside";
  if (IsTemporaryName(name)) return "a file that was not finished";
  const bool steps = name.ends_with(".json") && IsStepListFile(fmt::format("{}/{}", folder, name), files);
  return steps ? "the case's own step list" : "";  // else the user's own file
}

// An index's name may be given by hand: nothing else that bears it is removed, nor its neighbours.
Status CheckIsIndex(const std::string& path, FileSystem& files) {
  constexpr std::string_view kMark("SQLite format 3\0", 16);  // https://www.sqlite.org/fileformat.html, 1.3
  const Error other{ErrorCode::kBadCall, fmt::format("'{}' is no index of cases and is not removed.", path)};
  for (const char* ending : {"", "-journal", "-wal", "-shm"}) {
    AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(path + ending));
    if (info.type != FileType::kAbsent && info.type != FileType::kRegular) return other;
  }
  std::ifstream file(path, std::ios::binary);
  std::string start(kMark.size(), ' ');
  file.read(start.data(), static_cast<std::streamsize>(start.size()));
  return file.gcount() == 0 || start == kMark ? Status() : Status(other);
}

// Later ones go later; that by which the rest is known for what it is goes last.
std::size_t Turn(const std::string& name) {
  const auto* own =
      std::find_if(kOwnNames.begin(), kOwnNames.end(), [&](const auto& one) { return one.first == name; });
  return own == kOwnNames.end() ? 0 : 1 + static_cast<std::size_t>(own - kOwnNames.begin());
}

// A link is removed, never what it points to.
bool IsLink(const std::string& path) {
  std::error_code unknown;
  return std::filesystem::is_symlink(path, unknown);
}

Result<std::int64_t> BytesIn(const std::string& path, FileSystem& files) {
  if (IsLink(path)) return 0;
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(path));
  if (info.type != FileType::kDirectory) return info.size;
  std::int64_t bytes = 0;
  AFTERSCOPE_ASSIGN(const std::vector<std::string> names, files.List(path));
  for (const std::string& name : names) {
    AFTERSCOPE_ASSIGN(const std::int64_t inside, BytesIn(fmt::format("{}/{}", path, name), files));
    bytes += inside;
  }
  return bytes;
}

Result<KeptItem> Item(const std::string& path, std::string what, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const std::int64_t bytes, BytesIn(path, files));
  return KeptItem{path, std::move(what), bytes};
}

bool IsThere(const std::string& path, FileSystem& files) {
  const auto info = files.Stat(path);
  return IsLink(path) || (info.ok() && info->type != FileType::kAbsent);
}

bool IsLeftOfCase(const std::string& folder, FileSystem& files) {
  return std::any_of(kOfCase.begin(), kOfCase.end(), [&](std::string_view name) {
    return IsThere(fmt::format("{}/{}{}", folder, name, kForgotten), files);
  });
}

// The journal last: from it the record is made anew.
Status CeaseToBeCase(const std::string& folder, FileSystem& files) {
  for (const std::string_view name : kOfCase) {
    const std::string path = fmt::format("{}/{}", folder, name);
    if (!IsThere(path, files)) continue;
    AFTERSCOPE_TRY(files.Rename(path, fmt::format("{}{}", path, kForgotten)));
    AFTERSCOPE_TRY(files.SyncFolder(folder));
  }
  return {};
}

}  // namespace

Result<Forgetting> WhatCaseHolds(const std::string& case_folder, FileSystem& files) {
  if (!IsCaseFolder(case_folder, files) && !IsLeftOfCase(case_folder, files))
    return Error{
        ErrorCode::kUnreadable,
        fmt::format("Can't forget '{}': it is not a case folder, it has no case.json.", case_folder)};
  Forgetting forgetting;
  AFTERSCOPE_ASSIGN(std::vector<std::string> names, files.List(case_folder));
  std::stable_sort(names.begin(), names.end(),
                   [](const std::string& a, const std::string& b) { return Turn(a) < Turn(b); });
  for (const std::string& name : names) {
    if (name == "lock") continue;  // held while the rest goes
    const std::string path = fmt::format("{}/{}", case_folder, name);
    std::string what = WhatIs(case_folder, name, files);
    if (what.empty()) {
      forgetting.stays.push_back(path);
      continue;
    }
    AFTERSCOPE_ASSIGN(KeptItem item, Item(path, std::move(what), files));
    forgetting.goes.push_back(std::move(item));
  }
  return forgetting;
}

Result<Forgetting> WhatUserHolds(const std::string& cache_folder, const std::vector<std::string>& indexes,
                                 FileSystem& files) {
  Forgetting forgetting;
  const auto add = [&](const std::string& path, const std::string& what) -> Status {
    if (!IsThere(path, files)) return {};
    AFTERSCOPE_ASSIGN(KeptItem item, Item(path, what, files));
    forgetting.goes.push_back(std::move(item));
    return {};
  };
  if (!cache_folder.empty() && IsThere(cache_folder, files)) {
    AFTERSCOPE_ASSIGN(const std::vector<std::string> names, files.List(cache_folder));
    for (const std::string& name : names) {
      const std::string path = fmt::format("{}/{}", cache_folder, name);
      if (name.ends_with(kTableEnding) || IsTemporaryName(name))
        AFTERSCOPE_TRY(add(path, "a recording's frame table"));
      else
        forgetting.stays.push_back(path);
    }
  }
  for (const std::string& index_path : indexes) {
    AFTERSCOPE_TRY(CheckIsIndex(index_path, files));
    for (const char* ending : {"-journal", "-wal", "-shm", ""})
      AFTERSCOPE_TRY(add(index_path + ending, "the index of cases"));
  }
  return forgetting;
}

Result<std::vector<KeptItem>> TablesOfCase(const std::string& case_folder, const std::string& cache_folder,
                                           FileSystem& files) {
  std::vector<KeptItem> tables;
  const auto session = CaseSession::Open(case_folder, {{}, "", true}, files);
  if (!session.ok() || cache_folder.empty()) return tables;  // a record that can't be read names no recording
  for (const RecordingRef& recording : (*session)->record().recordings) {
    const std::string path = FindRecording(case_folder, recording, files).path;
    if (path.empty()) continue;
    const auto file = LookAtRegularFile(path);
    if (!file.ok()) continue;
    const std::string table = fmt::format("{}/{}{}", cache_folder, TableKey(*file), kTableEnding);
    if (!IsThere(table, files)) continue;
    AFTERSCOPE_ASSIGN(KeptItem item, Item(table, "a recording's frame table", files));
    tables.push_back(std::move(item));
  }
  return tables;
}

Status Forget(const std::vector<KeptItem>& items, FileSystem& files) {
  for (const KeptItem& item : items) {
    AFTERSCOPE_TRY(RemoveTree(files, item.path));
    AFTERSCOPE_TRY(files.SyncFolder(FolderOf(item.path)));
  }
  return {};
}

Status ForgetCase(const std::string& case_folder, const Forgetting& forgetting,
                  const std::function<Status()>& outside, FileSystem& files) {
  {
    if (IsLink(case_folder + "/lock")) AFTERSCOPE_TRY(files.Remove(case_folder + "/lock"));
    AFTERSCOPE_ASSIGN(const std::unique_ptr<FileLock> lock, files.Lock(case_folder + "/lock"));
    if (outside) AFTERSCOPE_TRY(outside());
    AFTERSCOPE_TRY(CeaseToBeCase(case_folder, files));
    AFTERSCOPE_TRY(Forget(forgetting.goes, files));
    for (const std::string_view name : kOfCase)
      AFTERSCOPE_TRY(RemoveTree(files, fmt::format("{}/{}{}", case_folder, name, kForgotten)));
    AFTERSCOPE_TRY(RemoveTree(files, case_folder + "/lock"));
  }
  if (!forgetting.stays.empty()) return {};
  AFTERSCOPE_TRY(files.Remove(case_folder));
  return files.SyncFolder(FolderOf(case_folder));
}

std::vector<std::string> IndexesAtHand(const std::string& named) {
  std::vector<std::string> indexes;
  for (const std::string& index : {named.empty() ? DefaultIndexPath() : named, OwnIndexPath()}) {
    std::error_code problem;
    const auto whole = std::filesystem::weakly_canonical(index, problem);
    const std::string path =
        index.empty() || IsPostgresAddress(index) || problem ? index : whole.generic_string();
    if (!path.empty() && std::find(indexes.begin(), indexes.end(), path) == indexes.end())
      indexes.push_back(path);
  }
  return indexes;
}

Result<int> ForgetInIndex(const std::string& index_path, const std::string& case_folder, FileSystem& files) {
  const bool is_shared = IsPostgresAddress(index_path);
  if (index_path.empty() || (!is_shared && !IsThere(index_path, files))) return 0;
  AFTERSCOPE_ASSIGN(const std::string folder, IndexedFolder(case_folder));
  AFTERSCOPE_ASSIGN(const std::unique_ptr<CaseIndex> index, CaseIndex::Open(index_path, files));
  AFTERSCOPE_ASSIGN(auto stale, index->KnownUnder(""));
  std::erase_if(stale, [&](const auto& known) {
    const auto& [path, of_case] = known;
    const bool is_of_others = is_shared && !IsThere(FolderOf(path), files);
    return path == folder || is_of_others || StampOfCase(path, of_case.reviews, files) == of_case.stamp;
  });
  const auto remove = [&]() -> Status {
    for (const auto& [path, of_case] : stale) AFTERSCOPE_TRY(index->Remove(path, of_case.id));
    return index->Remove(folder);
  };
  AFTERSCOPE_TRY(index->Write(remove));
  AFTERSCOPE_TRY(index->LeaveNoLog());
  return static_cast<int>(stale.size());
}

}  // namespace afterscope
