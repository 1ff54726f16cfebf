// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/report_case.hpp"

#include "annotate/case/blinding.hpp"
#include "annotate/case/consent.hpp"
#include "annotate/case/cover.hpp"
#include "annotate/jobs/case_frames.hpp"
#include "annotate/jobs/earlier_cases.hpp"
#include "annotate/jobs/measure/tip_map.hpp"
#include "annotate/report/build_report.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/covers_of_case.hpp"
#include "annotate/store/followed_files.hpp"
#include "annotate/store/journal.hpp"
#include "annotate/store/review_folders.hpp"
#include "annotate/store/score_sheet_file.hpp"
#include "annotate/store/step_list_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace afterscope {

namespace {

// Names of difficulties, complications and settings; a file that can't be read only leaves keys as they are.
std::map<std::string, std::string> NamesFrom(const std::string& assets, FileSystem& files) {
  std::map<std::string, std::string> names;
  for (const auto& [file, member] :
       {std::pair{"difficulty.json", "difficulties"}, std::pair{"complications.json", "complications"},
        std::pair{"settings.json", "presets"}, std::pair{"settings.json", "choices"},
        std::pair{"settings.json", "numbers"}, std::pair{"settings.json", "totals"}})
    if (const auto keys = LoadNamedKeys(assets + "/" + file, member, files); keys.ok())
      for (const NamedKey& key : *keys) names.emplace(key.key, key.name);
  return names;
}

// Digest of the last entry of the review's journal; empty where it can't be read.
std::string JournalHead(const std::string& case_folder, const Review& review, FileSystem& files) {
  const auto bytes =
      files.ReadAll(case_folder + "/reviews/" + review.id.value + "/journal", kMostJournalBytes);
  if (!bytes.ok()) return {};
  const JournalContent content = ReadJournal(*bytes);
  return content.lines.empty() ? std::string() : content.lines.back().digest;
}

std::string FolderAround(const std::string& case_folder) {
  std::error_code ignored;
  const std::filesystem::path whole = std::filesystem::absolute(case_folder, ignored).lexically_normal();
  return (whole.has_filename() ? whole : whole.parent_path()).parent_path().string();
}

// A report goes to others: it counts what was said of files, whose names and folders may name people.
std::vector<std::string> Counted(std::size_t of_this_case, std::size_t unreadable, bool is_blind) {
  std::vector<std::string> said;
  if (of_this_case > 0)
    said.push_back(
        is_blind
            ? fmt::format("{} remarks on the files of this case are kept back until the review is signed.",
                          of_this_case)
            : fmt::format("Remarks on the files of this case, told where this report was made: {}.",
                          of_this_case));
  if (unreadable > 0) said.push_back(fmt::format("Earlier cases that could not be read: {}.", unreadable));
  return said;
}

Error WithoutNames(const Error& error, FrameRef at) {
  return {error.code, fmt::format("Recording {} is not at hand or has no such frame.", at.recording + 1)};
}

void AddNew(const std::string& sentence, std::vector<std::string>& said) {
  if (std::find(said.begin(), said.end(), sentence) == said.end()) said.push_back(sentence);
}

}  // namespace

std::vector<ScoreSheet> SheetsUsed(const std::string& case_folder, const Review& review,
                                   const std::string& assets, FileSystem& files) {
  std::vector<ScoreSheet> sheets;
  for (const Score& score : review.scores) {
    if (!sheets.empty() && sheets.back().id == score.id.sheet) continue;
    auto sheet = FindScoreSheet(score.id.sheet, case_folder, assets, files);
    if (sheet.ok()) sheets.push_back(std::move(*sheet));
  }
  return sheets;
}

Result<ReportModel> ReportOfReview(const std::string& case_folder, const CaseRecord& true_record,
                                   const Review& true_review, const std::vector<std::string>& cautions,
                                   const ReportCaseOptions& options, const Progress& progress,
                                   const StopQuery& stop, FileSystem& files) {
  // A blind reviewer's report shows no more than he may see.
  const CaseRecord record = ShownRecord(true_record, true_review);
  const Review review = ShownReview(true_record, true_review);
  AFTERSCOPE_ASSIGN(ReportWords words, LoadReportWords(options.assets_folder + "/reports/words.json", files));
  AFTERSCOPE_ASSIGN(const StepList steps, LoadStepList(record, case_folder, options.assets_folder, files));
  MeasureOptions measure = options.measure;
  measure.stop = stop;
  const std::vector<Review> others = MarkedBesides(case_folder, review.id, files);
  measure.others = PointersTo(others);
  const Followed followed = LoadFollowed(case_folder, review.id, files);
  ReportInput input{record,
                    review,
                    steps,
                    MeasureReview(record, review, steps, measure, followed),
                    {},
                    std::move(words),
                    {},
                    NamesFrom(options.assets_folder, files),
                    options.program_version,
                    JournalHead(case_folder, review, files),
                    {}};
  std::vector<std::string> told;
  input.tip_maps = MapTips(record, review, followed);
  input.eye_over_time = EyeOverTimeOf(record, review, measure, followed);
  input.score_sheets = SheetsUsed(case_folder, review, options.assets_folder, files);
  const std::vector<std::string> folders =
      options.earlier_folders.empty() ? std::vector{FolderAround(case_folder)} : options.earlier_folders;
  if (!IsBlind(review)) {
    EarlierCases earlier = FindEarlierCases(record, review.kind, folders, steps, stop, files);
    told = std::move(earlier.unreadable);
    input.earlier = std::move(earlier.cases);
  }

  const std::size_t unreadable = told.size();
  CaseFrames frames(case_folder, true_record, files);
  told.insert(told.end(), frames.cautions().begin(), frames.cautions().end());
  const auto covering = WithAllCovers(case_folder, true_review, files);
  if (!covering.ok()) told.push_back(covering.error().message);
  input.cautions = Counted(cautions.size() + told.size() - unreadable, unreadable, IsBlind(review));
  const Review& covers = covering.ok() ? *covering : true_review;
  const ReportConsent consent =
      ConsentOfReport(record, options.today.empty() ? UtcNow().substr(0, 10) : options.today);
  if (!consent.caution.empty()) input.cautions.push_back(consent.caution);
  if (frames.AtHand() && consent.pictures)
    input.frames = [&](FrameRef at) -> Result<Picture> {
      const Result<Picture> picture = frames.Frame(at, stop);
      if (picture.ok()) return Covered(*picture, CoversOf(covers, at.recording));
      AddNew(picture.error().message, told);
      return WithoutNames(picture.error(), at);
    };
  if (Stopped(stop)) return Error{ErrorCode::kStopped, "The report was stopped."};
  AFTERSCOPE_ASSIGN(ReportModel model, BuildReport(input, progress, stop));
  if (!IsBlind(review)) model.told = std::move(told);
  if (!consent.caution.empty()) model.told.insert(model.told.begin(), consent.caution);
  return model;
}

Result<ReportModel> ReportOfCase(const std::string& case_folder, const ReportCaseOptions& options,
                                 const Progress& progress, const StopQuery& stop, FileSystem& files) {
  OpenCaseOptions open;
  open.review = options.review;
  open.read_only = true;
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(case_folder, open, files));
  return ReportOfReview(case_folder, session->record(), session->review(), session->cautions(), options,
                        progress, stop, files);
}

}  // namespace afterscope
