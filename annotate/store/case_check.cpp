// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_check.hpp"

#include "annotate/case/edit_checks.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/journal.hpp"
#include "annotate/store/review_folders.hpp"
#include "annotate/store/score_sheet_file.hpp"
#include "annotate/store/seal_check.hpp"
#include "annotate/store/spoken.hpp"
#include "annotate/store/step_list_file.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr int kMostFolderLevels = 4;

// What takes nothing away from a record, but is not as a program that ended well leaves it.
void CheckFiles(const std::string& folder, const char* checkpoint, FileSystem& files, CaseCheck& check) {
  const auto journal = files.ReadAll(folder + "/journal", kMostJournalBytes);
  if (!journal.ok()) return;  // told by whoever opens it
  const auto copy = files.Stat(fmt::format("{}/{}", folder, checkpoint));
  if (copy.ok() && copy->type == FileType::kAbsent)
    check.notes.push_back(
        fmt::format("'{}/{}' is not there; it is made again from the journal when the case is opened next.",
                    folder, checkpoint));
  if (const JournalContent content = ReadJournal(*journal); content.unfinished && content.dropped_lines == 1)
    check.notes.push_back(fmt::format(
        "'{}/journal' ends in {} bytes of an entry that is not whole: it is being written, or was "
        "cut off and never acknowledged.",
        folder, content.dropped_bytes));
}

void CheckReviews(const std::string& folder, FileSystem& files, CaseCheck& check) {
  const auto session = CaseSession::Open(folder, {{}, "", true}, files);
  if (!session.ok()) {
    check.wrong.push_back(session.error().message);
    return;
  }
  CheckFiles(folder, "case.json", files, check);
  std::vector<std::string> said = (*session)->cautions();
  for (const ReviewId& review : (*session)->Reviews()) {
    ++check.reviews;
    CheckFiles(ReviewFolder(folder, review), "review.json", files, check);
    const auto one = CaseSession::Open(folder, {review, "", true}, files);
    if (!one.ok()) {
      said.push_back(one.error().message);
    } else {
      said.insert(said.end(), (*one)->cautions().begin(), (*one)->cautions().end());
      const auto spoken = CheckSpoken(folder, (*one)->review(), files);
      said.insert(said.end(), spoken.begin(), spoken.end());
      if (!CheckRecordingsNeeded((*one)->review(), (*one)->record().recordings.size()).ok())
        said.push_back(
            fmt::format("The review '{}' speaks of a recording that the case does not have.", review.value));
    }
  }
  const SealCheck seals = CheckSeals(folder, (*session)->record(), files);
  said.insert(said.end(), seals.wrong.begin(), seals.wrong.end());
  check.notes.insert(check.notes.end(), seals.notes.begin(), seals.notes.end());
  for (std::string& sentence : said)
    if (std::find(check.wrong.begin(), check.wrong.end(), sentence) == check.wrong.end())
      check.wrong.push_back(std::move(sentence));
}

// The step list and score sheets that lie in the case folder.
void CheckLists(const std::string& folder, const CaseRecord& record, FileSystem& files, CaseCheck& check) {
  if (const Status list = CheckOwnStepList(record, folder, files); !list.ok())
    check.wrong.push_back(list.error().message);
  for (const std::string& id : ScoreSheetIds(folder, files)) {
    const auto sheet = LoadScoreSheetFile(fmt::format("{}/score_sheets/{}.json", folder, id), files);
    if (!sheet.ok()) check.wrong.push_back(sheet.error().message);
  }
}

void CheckWholeFile(const RecordingRef& recording, const std::string& path, const Progress& progress,
                    const StopQuery& stop, RecordingCheck& result) {
  const auto digest = FullDigest(path, progress, stop);
  if (!digest.ok()) {
    result.state = RecordingState::kMissing;
    result.message = digest.error().message;
  } else if (recording.fingerprint.full_sha256.empty()) {
    result.full_sha256 = *digest;
    result.message = fmt::format("'{}': the case knew no digest of the whole file to compare with.", path);
  } else if (*digest == recording.fingerprint.full_sha256) {
    result.verified = true;
  } else {
    result.state = RecordingState::kDifferent;
    result.message = fmt::format("'{}' has changed since its digest was taken.", path);
  }
}

RecordingCheck CheckRecording(const std::string& folder, const RecordingRef& recording, bool full,
                              const Progress& progress, const StopQuery& stop, FileSystem& files) {
  const RecordingPlace place = FindRecording(folder, recording, files);
  RecordingCheck result{recording.path, place.state, false, "", place.message};
  if (full && !place.path.empty()) CheckWholeFile(recording, place.path, progress, stop, result);
  return result;
}

struct FoundFolders {
  std::vector<std::string> cases;
  std::vector<std::string> too_deep;
};

Status FindCasesIn(const std::string& folder, int level, FileSystem& files, FoundFolders& found,
                   std::vector<std::string>& passed_over) {
  if (level > kMostFolderLevels) {
    found.too_deep.push_back(folder);
    return {};
  }
  if (IsCaseFolder(folder, files)) {
    found.cases.push_back(folder);
    return {};
  }
  AFTERSCOPE_ASSIGN(const std::vector<std::string> names, files.List(folder));
  for (const std::string& name : names) {
    if (name.starts_with('.')) continue;
    const std::string inner = fmt::format("{}/{}", folder, name);
    const auto info = files.Stat(inner);
    if (!info.ok() || info->type != FileType::kDirectory) continue;
    if (const Status looked = FindCasesIn(inner, level + 1, files, found, passed_over); !looked.ok())
      passed_over.push_back(looked.error().message);
  }
  return {};
}

}  // namespace

CaseCheck CheckCase(const std::string& folder, bool full, const Progress& progress, const StopQuery& stop,
                    FileSystem& files) {
  CaseCheck check;
  check.folder = folder;
  CheckReviews(folder, files, check);
  const auto session = CaseSession::Open(folder, {{}, "", true}, files);
  if (!session.ok()) return check;
  CheckLists(folder, (*session)->record(), files, check);
  for (const RecordingRef& recording : (*session)->record().recordings) {
    check.recordings.push_back(CheckRecording(folder, recording, full, progress, stop, files));
    const RecordingCheck& result = check.recordings.back();
    const bool wrong = result.state == RecordingState::kMissing || result.state == RecordingState::kDifferent;
    if (!result.message.empty()) (wrong ? check.wrong : check.notes).push_back(result.message);
  }
  return check;
}

Result<std::vector<std::string>> FindCases(const std::string& folder, std::vector<std::string>& passed_over,
                                           FileSystem& files, std::vector<std::string>* too_deep) {
  FoundFolders found;
  AFTERSCOPE_TRY(FindCasesIn(folder, 0, files, found, passed_over));
  if (too_deep) *too_deep = std::move(found.too_deep);
  return std::move(found.cases);
}

}  // namespace afterscope
