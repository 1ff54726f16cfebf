// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/update_index.hpp"

#include "annotate/jobs/series/index_case.hpp"
#include "annotate/platform/user_folders.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/index/case_snapshot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <map>

namespace afterscope {
namespace {

constexpr int kMostLevels = 4;
constexpr std::size_t kBatch = 250;

using Known = std::map<std::string, IndexKnown>;

// What there is to do, from one look at the folders.
struct Survey {
  int cases = 0;
  std::vector<std::string> to_read;
};

bool IsFolder(const std::string& path, FileSystem& files) {
  const auto info = files.Stat(path);
  return info.ok() && info->type == FileType::kDirectory;
}

// A folder that the index knows is asked for its stamp alone; only others are looked into.
void Look(const std::string& folder, int level, const Known& known, Known& gone, FileSystem& files,
          Survey& survey) {
  if (const auto found = known.find(folder); found != known.end()) {
    const std::string stamp = StampOfCase(folder, found->second.reviews, files);
    if (!stamp.empty()) {
      gone.erase(folder);
      ++survey.cases;
      if (stamp != found->second.stamp) survey.to_read.push_back(folder);
      return;
    }
  } else if (IsCaseFolder(folder, files)) {
    ++survey.cases;
    survey.to_read.push_back(folder);
    return;
  }
  if (level >= kMostLevels) return;
  const auto names = files.List(folder);
  if (!names.ok()) return;
  for (const std::string& name : *names) {
    if (name.starts_with('.')) continue;
    const std::string inner = fmt::format("{}/{}", folder, name);
    if (known.contains(inner) || IsFolder(inner, files)) Look(inner, level + 1, known, gone, files, survey);
  }
}

Status TakeOut(CaseIndex& index, const Known& gone) {
  return index.Write([&]() -> Status {
    for (const auto& [path, entry] : gone) AFTERSCOPE_TRY(index.Remove(path, entry.id));
    return {};
  });
}

Status ReadBatch(CaseIndex& index, const std::vector<std::string>& folders, std::size_t first,
                 IndexUpdate& update, const Progress& progress, const StopQuery& stop, FileSystem& files) {
  const std::size_t last = std::min(first + kBatch, folders.size());
  std::vector<IndexCase> batch;
  for (std::size_t i = first; i < last; ++i) {
    if (Stopped(stop)) return Error{ErrorCode::kStopped, "Stopped while the index was brought up to date."};
    batch.push_back(ReadIndexCase(folders[i], files));
    if (!batch.back().problem.empty()) update.problems.push_back(batch.back().problem);
    Report(progress, static_cast<double>(i) / static_cast<double>(folders.size()));
  }
  return index.Write([&] { return index.Put(batch); });
}

}  // namespace

Result<IndexUpdate> UpdateIndex(CaseIndex& index, const std::string& folder, const Progress& progress,
                                const StopQuery& stop, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(folder));
  if (info.type != FileType::kDirectory)
    return Error{ErrorCode::kUnreadable,
                 fmt::format("There is no folder '{}' to look for cases in.", folder)};
  AFTERSCOPE_ASSIGN(const Known known, index.KnownUnder(folder));
  Known gone = known;
  Survey survey;
  Look(folder, 0, known, gone, files, survey);
  IndexUpdate update;
  update.cases = survey.cases;
  update.read = static_cast<int>(survey.to_read.size());
  update.removed = static_cast<int>(gone.size());
  if (!gone.empty()) AFTERSCOPE_TRY(TakeOut(index, gone));
  for (std::size_t first = 0; first < survey.to_read.size(); first += kBatch)
    AFTERSCOPE_TRY(ReadBatch(index, survey.to_read, first, update, progress, stop, files));
  return update;
}

Result<std::string> IndexedFolder(const std::string& folder) {
  std::error_code problem;
  std::filesystem::path path = std::filesystem::canonical(folder, problem);
  if (problem)
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't look for cases in '{}': {}.", folder, problem.message())};
  return path.generic_string();
}

std::string DefaultIndexPath() {
  const char* chosen = std::getenv("AFTERSCOPE_INDEX");
  return chosen && *chosen ? chosen : OwnIndexPath();
}

std::string OwnIndexPath() {
  const std::string folder = UserDataFolder();
  return folder.empty() ? folder : folder + "/cases.sqlite";
}

Result<CurrentIndex> OpenCurrentIndex(const std::string& path, const std::string& folder,
                                      const Progress& progress, const StopQuery& stop) {
  if (path.empty())
    return Error{
        ErrorCode::kBadCall,
        "There is no home folder for the index of cases: give a file by --index or AFTERSCOPE_INDEX."};
  CurrentIndex current;
  AFTERSCOPE_ASSIGN(current.folder, IndexedFolder(folder));
  AFTERSCOPE_ASSIGN(current.index, CaseIndex::Open(path));
  AFTERSCOPE_ASSIGN(current.update, UpdateIndex(*current.index, current.folder, progress, stop));
  return current;
}

}  // namespace afterscope
