// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/new_case.hpp"

#include "annotate/store/case_session.hpp"
#include "annotate/store/fingerprint.hpp"

#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>
#include <optional>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

constexpr int kMostFolders = 1000;

std::string NameFor(const std::string& recording) { return fs::path(recording).stem().string() + " case"; }

// A folder of that name that does not exist yet.
std::string FreshFolder(const fs::path& in, const std::string& name) {
  std::error_code ignored;
  for (int i = 1; i < kMostFolders; ++i) {
    const fs::path folder = in / (i == 1 ? name : fmt::format("{} {}", name, i));
    if (!fs::exists(folder, ignored)) return folder.string();
  }
  return (in / name).string();
}

// In the user's home, for recordings that lie where nothing can be written.
std::optional<fs::path> HomeFolder() {
  const char* home = std::getenv("HOME");
  if (home == nullptr || *home == 0) return std::nullopt;
  return fs::path(home) / "afterscope";
}

Status CreateIn(const std::string& folder, CaseRecord record) {
  for (RecordingRef& ref : record.recordings) ref.path = PathInCase(folder, ref.path);
  return CaseSession::Create(folder, record);
}

}  // namespace

std::string CaseFolderFor(const std::string& recording) {
  return (fs::path(recording).parent_path() / NameFor(recording)).string();
}

CaseRecord UnsavedRecord(const std::vector<BareRecording>& recordings, const std::string& step_list) {
  CaseRecord record;
  record.step_list = step_list;
  for (const BareRecording& bare : recordings) {
    RecordingRef& ref = record.recordings.emplace_back();
    ref.path = bare.path;
    ref.shape = bare.recording->Shape();
  }
  return record;
}

Result<std::string> MakeCase(const std::vector<BareRecording>& recordings, const std::string& step_list) {
  CaseRecord record = UnsavedRecord(recordings, step_list);
  for (RecordingRef& ref : record.recordings) {
    AFTERSCOPE_ASSIGN(ref.fingerprint, SampleFingerprint(ref.path));
  }
  const std::string& first = recordings.front().path;
  const std::string beside = FreshFolder(fs::path(first).parent_path(), NameFor(first));
  const Status made = CreateIn(beside, record);
  if (made) return beside;
  const auto home = HomeFolder();
  if (!home) return made.error();
  AFTERSCOPE_TRY(MakeFolders(RealFileSystem(), home->string()));
  const std::string folder = FreshFolder(*home, NameFor(first));
  AFTERSCOPE_TRY(CreateIn(folder, record));
  return folder;
}

Result<std::string> LocateRecording(const std::string& case_folder, const RecordingRef& ref) {
  const RecordingPlace place = FindRecording(case_folder, ref);
  if (place.state == RecordingState::kThere || place.state == RecordingState::kMoved) return place.path;
  return Error{ErrorCode::kUnreadable,
               place.message.empty() ? "This case has no recording at hand." : place.message};
}

}  // namespace afterscope
