// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/case_shelf.hpp"

#include "annotate/case/consent.hpp"
#include "annotate/store/case_session.hpp"
#include "app/common/console.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <tuple>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kMostCases = 5000;
constexpr int kDepth = 2;

std::string LowerEnding(const std::string& name) {
  std::string ending = fs::path(name).extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return ending;
}

bool HoldsCase(const fs::path& folder) {
  std::error_code ignored;
  return fs::is_regular_file(folder / "case.json", ignored);
}

ShelfCase LookInto(const std::string& folder) {
  ShelfCase entry;
  entry.folder = folder;
  entry.code = fs::path(folder).filename().string();
  OpenCaseOptions options;
  options.read_only = true;
  const auto session = CaseSession::Open(folder, options);
  if (!session) {
    entry.problem = session.error().message;
    return entry;
  }
  const CaseRecord& record = (*session)->record();
  const Review& review = (*session)->review();
  if (!record.code.empty()) entry.code = record.code;
  entry.date = record.date;
  entry.who = record.operator_code;
  entry.reviews = (*session)->Summaries();
  entry.times_only = std::all_of(record.recordings.begin(), record.recordings.end(),
                                 [](const RecordingRef& r) { return r.path.empty(); });
  entry.delete_by = PassedDeleteBy(record, Today());
  const bool touched =
      !review.visits.empty() || !review.moments.empty() || !review.marks.empty() || !review.trails.empty();
  entry.stage = review.is_signed ? CaseStage::kSigned : touched ? CaseStage::kStarted : CaseStage::kNew;
  return entry;
}

void Search(const fs::path& folder, int depth, std::vector<std::string>& found, const StopQuery& stop) {
  std::error_code problem;
  fs::directory_iterator at(folder, fs::directory_options::skip_permission_denied, problem);
  for (; !problem && at != fs::directory_iterator(); at.increment(problem)) {
    if (Stopped(stop) || found.size() >= kMostCases) return;
    std::error_code ignored;
    if (!at->is_directory(ignored) || at->is_symlink(ignored)) continue;
    if (HoldsCase(at->path()))
      found.push_back(at->path().string());
    else if (depth > 1)
      Search(at->path(), depth - 1, found, stop);
  }
}

}  // namespace

bool LooksLikeNarration(const std::string& name) {
  const std::string ending = LowerEnding(name);
  return ending == ".vtt" || ending == ".srt" || ending == ".txt";
}

bool LooksLikeRecording(const std::string& name) {
  constexpr std::array kEndings{".mp4", ".mov",  ".m4v", ".mkv", ".webm", ".avi", ".mts", ".m2ts", ".ts",
                                ".mpg", ".mpeg", ".vob", ".mxf", ".wmv",  ".asf", ".dv",  ".3gp",  ".ogv"};
  return std::find(kEndings.begin(), kEndings.end(), LowerEnding(name)) != kEndings.end();
}

PathKind KindOfPath(const std::string& path) {
  std::error_code ignored;
  if (fs::is_directory(path, ignored)) return HoldsCase(path) ? PathKind::kCase : PathKind::kFolder;
  return fs::exists(path, ignored) ? PathKind::kFile : PathKind::kMissing;
}

std::vector<ShelfCase> FindCases(const std::string& folder, const Progress& progress, const StopQuery& stop) {
  std::vector<std::string> folders;
  Search(folder, kDepth, folders, stop);
  std::vector<ShelfCase> found;
  for (const std::string& each : folders) {
    if (Stopped(stop)) break;
    found.push_back(LookInto(each));
    Report(progress, static_cast<double>(found.size()) / static_cast<double>(folders.size()));
  }
  std::sort(found.begin(), found.end(), [](const ShelfCase& a, const ShelfCase& b) {
    return std::tie(a.date, a.code, a.folder) < std::tie(b.date, b.code, b.folder);
  });
  return found;
}

FolderListing ListFolder(const std::string& folder) {
  FolderListing listing;
  std::error_code problem;
  listing.folder = fs::weakly_canonical(folder, problem).string();
  fs::directory_iterator at(listing.folder, fs::directory_options::skip_permission_denied, problem);
  if (problem) listing.problem = "The folder can't be read: " + problem.message() + ".";
  for (; !problem && at != fs::directory_iterator(); at.increment(problem)) {
    std::error_code ignored;
    const std::string name = at->path().filename().string();
    if (name.starts_with('.')) continue;
    if (at->is_directory(ignored))
      listing.items.push_back({name, true, HoldsCase(at->path())});
    else if (at->is_regular_file(ignored) && (LooksLikeRecording(name) || LooksLikeNarration(name)))
      listing.items.push_back({name, false, false});
  }
  std::sort(listing.items.begin(), listing.items.end(), [](const auto& a, const auto& b) {
    return std::tie(b.folder, a.name) < std::tie(a.folder, b.name);
  });
  return listing;
}

}  // namespace afterscope
