// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/pack/pack_case.hpp"

#include "annotate/case/moved_review.hpp"
#include "annotate/case/review_access.hpp"
#include "annotate/case/signing.hpp"
#include "annotate/case/text.hpp"
#include "annotate/jobs/clip/clip_frames.hpp"
#include "annotate/jobs/clip/clip_job.hpp"
#include "annotate/jobs/pack/covered_copy.hpp"
#include "annotate/jobs/report_case.hpp"
#include "annotate/report/write_report.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/covers_of_case.hpp"
#include "annotate/store/fingerprint.hpp"
#include "annotate/store/score_sheet_file.hpp"
#include "annotate/store/scrub.hpp"
#include "annotate/store/step_list_file.hpp"
#include "annotate/store/whole_folder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

namespace afterscope {
namespace {

constexpr char kCaseNumber[] = "case_number";
constexpr char kReportName[] = "report.pdf";

// The review that is meant, if it may be handed over.
Result<ReviewId> ChooseReview(const CaseSession& session, const std::optional<ReviewId>& wanted) {
  const std::vector<ReviewSummary> all = session.Summaries();
  std::optional<ReviewSummary> chosen;
  if (wanted) {
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const ReviewSummary& r) { return r.id == *wanted; });
    if (found != all.end()) chosen = *found;
  } else {
    for (const ReviewSummary& review : NewestVersions(all, true))
      if (!review.is_self) chosen = review;
  }
  if (!chosen)
    return Error{ErrorCode::kNotComputable,
                 wanted ? fmt::format("The case has no review '{}'.", wanted->value)
                        : "The case has no signed review to hand over: sign it first."};
  if (!chosen->is_signed)
    return Error{
        ErrorCode::kNotComputable,
        fmt::format("The review '{}' is not signed: what is handed over has to be final.", chosen->id.value)};
  for (const ReviewSummary& own : all)
    if (own.is_self && own.is_touched && !MayBeShown(all, chosen->id, own.id))
      return Error{ErrorCode::kNotComputable,
                   fmt::format("The operator's own review '{}' is not signed yet; until then the review '{}' "
                               "stays hidden from it.",
                               own.id.value, chosen->id.value)};
  return chosen->id;
}

// The case as far as it is the operator's.
CaseRecord RecordFor(const CaseRecord& record, const SignedReview& signed_review) {
  CaseRecord handed = record;
  std::erase_if(handed.extra, [](const auto& field) { return field.first != kCaseNumber; });
  handed.extra[kHandedOver] = OriginOf(signed_review);
  handed.signed_reviews.clear();
  handed.recordings.clear();
  return handed;
}

// The edits that make an empty review what `review` is.
EditGroup EditsFor(const Review& review) {
  EditGroup group{"Handed over", {}};
  const auto put = [&](const auto& items) {
    for (const auto& item : items) group.edits.push_back(Put<std::decay_t<decltype(item)>>{item});
  };
  put(review.visits);
  put(review.moments);
  put(review.marks);
  put(review.trails);
  put(review.scales);
  put(review.scores);
  for (const auto& [key, state] : review.checks) group.edits.push_back(SetCheck{key, state});
  group.edits.push_back(SetAssessment{review.assessment});
  return group;
}

// Without what is not handed over.
int DropSpoken(Review& review) {
  int dropped = 0;
  for (Moment& moment : review.moments)
    dropped +=
        std::erase_if(moment.fields, [](const auto& field) { return field.first == "sound_file"; }) != 0;
  for (Moment& moment : review.moments)
    std::erase_if(moment.fields, [](const auto& field) { return field.first.starts_with("sound_"); });
  return dropped;
}

// Whether the case's own answer may be what a scrub left of the one that came back.
bool MayBeScrubbed(const ReviewAnswer& own, const ReviewAnswer& came) {
  return MayBeScrubbedOf(own.text, came.text) && MayBeScrubbedOf(own.by, came.by) &&
         (own.date == came.date || own.date.empty());
}

// Fills a folder that is there and empty.
class Packer {
 public:
  Packer(const std::string& case_folder, std::string pack_folder, const PackOptions& options,
         const Progress& progress, const StopQuery& stop, FileSystem& files)
      : from_(case_folder),
        to_(std::move(pack_folder)),
        options_(options),
        progress_(progress),
        stop_(stop),
        files_(files) {}

  Result<PackDone> Run(const CaseRecord& record, const SignedReview& signed_review, Review review) {
    AFTERSCOPE_TRY(CaseSession::Create(to_, RecordFor(record, signed_review), files_));
    AFTERSCOPE_ASSIGN(const Review covered, WithAllCovers(from_, review, files_));
    AFTERSCOPE_TRY(CopyRecordings(record, covered));
    AFTERSCOPE_TRY(CopyOwnFiles(record, review));
    AFTERSCOPE_TRY(WriteReportOf(record, review));
    AFTERSCOPE_TRY(WriteReview(std::move(review)));
    return done_;
  }

 private:
  std::string In(const std::string& name) const { return fmt::format("{}/{}", to_, name); }

  Status CopyRecordings(const CaseRecord& record, const Review& review) {
    for (std::size_t i = 0; i < record.recordings.size(); ++i) {
      AFTERSCOPE_ASSIGN(RecordingRef copy, CopyRecording(record, review, i));
      copies_.push_back(std::move(copy));
    }
    return {};
  }

  // Where it is not at hand, its times alone.
  Result<RecordingRef> CopyRecording(const CaseRecord& record, const Review& review, std::size_t i) {
    RecordingRef copy{"", {}, record.recordings[i].shape};
    how_.push_back({copy.shape, copy.shape, {}, 1});
    const std::string original = FindRecording(from_, record.recordings[i], files_).path;
    if (original.empty()) {
      done_.cautions.push_back(fmt::format("Recording {} is not at hand and does not go along.", i + 1));
      return copy;
    }
    const auto share = [&, count = static_cast<double>(record.recordings.size())](double done) {
      if (progress_) progress_((static_cast<double>(i) + done) / count);
    };
    copy.path = fmt::format("{}-{}.mp4", FolderNameOf(record.code), i + 1);
    Recording::Options numbered;  // covers hold for frames by recording and time
    numbered.recording_number = static_cast<int>(i);
    AFTERSCOPE_ASSIGN(const auto recording, Recording::Open(original, numbered));
    AFTERSCOPE_ASSIGN(how_.back(), WriteCoveredCopy(*recording, CoversOf(review, static_cast<int>(i)),
                                                    In(copy.path), options_.quality, share, stop_, files_));
    copy.shape = how_.back().copy;
    AFTERSCOPE_ASSIGN(copy.fingerprint, SampleFingerprint(In(copy.path)));
    return copy;
  }

  // The score sheets that the review uses, and the case's own step list.
  Status CopyOwnFiles(const CaseRecord& record, const Review& review) {
    std::set<std::string> sheets;
    for (const Score& score : review.scores) sheets.insert(score.id.sheet);
    for (const std::string& id : sheets) AFTERSCOPE_TRY(CopySheet(id));
    return CopyStepList(record.step_list);
  }

  // What is read is written anew: whatever else a file of that name holds does not go along.
  Status CopySheet(const std::string& id) {
    const std::string path = fmt::format("{}/score_sheets/{}.json", from_, id);
    AFTERSCOPE_ASSIGN(const FileInfo info, files_.Stat(path));
    if (info.type == FileType::kAbsent) return {};
    const auto sheet = LoadScoreSheetFile(path, files_);
    if (sheet.ok() && sheet->id == id) return KeepScoreSheet(*sheet, to_, files_);
    done_.cautions.push_back(
        fmt::format("The score sheet '{}' does not go along{}", id,
                    sheet.ok() ? ": its file has another id." : ". " + sheet.error().message));
    return {};
  }

  Status CopyStepList(const std::string& id) {
    if (!IsValidIdText(id) || id == "case") return {};
    const std::string name = id + ".json";
    const std::string path = fmt::format("{}/{}", from_, name);
    AFTERSCOPE_ASSIGN(const FileInfo info, files_.Stat(path));
    if (info.type == FileType::kAbsent) return {};
    AFTERSCOPE_ASSIGN(StepList list, LoadStepListFile(path, files_));
    list.id = id;
    return SaveStepList(list, In(name), files_);
  }

  // Of the original recordings: the copies are smaller and coded anew.
  Status WriteReportOf(const CaseRecord& record, const Review& review) {
    ReportCaseOptions how;
    how.assets_folder = options_.assets_folder;
    how.program_version = options_.program_version;
    how.today = options_.today;
    AFTERSCOPE_ASSIGN(const ReportModel model,
                      ReportOfReview(from_, record, review, {}, how, {}, stop_, files_));
    PdfOptions pdf;
    pdf.made_at = options_.made_at;
    AFTERSCOPE_ASSIGN(const auto cautions,
                      WriteReport(model, ReportFormat::kPdf, In(kReportName), pdf, files_));
    done_.cautions.insert(done_.cautions.end(), model.told.begin(), model.told.end());
    done_.cautions.insert(done_.cautions.end(), cautions.begin(), cautions.end());
    return {};
  }

  Status WriteReview(Review review) {
    if (const int spoken = DropSpoken(review); spoken > 0)
      done_.cautions.push_back(
          fmt::format("The sound of {} spoken remarks does not go along: a voice tells who speaks.", spoken));
    const auto is_copied = [&](int recording) {
      const auto i = static_cast<std::size_t>(recording);
      return recording >= 0 && i < copies_.size() && !copies_[i].path.empty();
    };
    const Review moved = MovedReview(
        std::move(review),
        [&](FrameRef at) {
          return is_copied(at.recording)
                     ? FrameRef{at.recording, how_[static_cast<std::size_t>(at.recording)].PlaceOf(at.pts)}
                     : at;
        },
        [&](int recording, PointPx px) {
          return is_copied(recording) ? how_[static_cast<std::size_t>(recording)].SpotOf(px) : px;
        });
    OpenCaseOptions open{moved.id, moved.reviewer_code, false, {moved.kind, moved.is_self, Blinding::kOpen}};
    AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(to_, open, files_));
    AFTERSCOPE_TRY(session->Commit({"Recordings", {SetRecordings{copies_}}}));
    AFTERSCOPE_TRY(session->Commit(EditsFor(moved)));
    AFTERSCOPE_TRY(session->Sign(moved.signature.by));
    return session->SaveCheckpoint();
  }

  const std::string& from_;
  std::string to_;
  const PackOptions& options_;
  const Progress& progress_;
  const StopQuery& stop_;
  FileSystem& files_;
  PackDone done_;
  std::vector<RecordingRef> copies_;
  std::vector<CoveredCopy> how_;
};

}  // namespace

Result<PackDone> PackCase(const std::string& case_folder, const std::string& pack_folder,
                          const PackOptions& options, const Progress& progress, const StopQuery& stop,
                          FileSystem& files) {
  AFTERSCOPE_ASSIGN(const FileInfo there, files.Stat(pack_folder));
  if (there.type != FileType::kAbsent)
    return Error{ErrorCode::kUnwritable,
                 fmt::format("'{}' is there already; give a new folder.", pack_folder)};
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(case_folder, {{}, "", true}, files));
  AFTERSCOPE_TRY(CheckConsent(session->record(), "review", options.today));
  AFTERSCOPE_ASSIGN(const ReviewId id, ChooseReview(*session, options.review));
  AFTERSCOPE_ASSIGN(Review review, session->ReadReview(id));
  const SignedReview* signed_review = FindSigned(session->record(), id);
  if (!signed_review)
    return Error{ErrorCode::kNotComputable,
                 fmt::format("The case does not know the seal of the review '{}'.", id.value)};
  PackDone done;
  AFTERSCOPE_TRY(MakeWholeFolder(files, pack_folder, [&](const std::string& folder) -> Status {
    Packer packer(case_folder, folder, options, progress, stop, files);
    AFTERSCOPE_ASSIGN(done, packer.Run(session->record(), *signed_review, std::move(review)));
    return {};
  }));
  done.report = fmt::format("{}/{}", pack_folder, kReportName);
  return done;
}

Result<TakenAnswers> TakeInAnswers(const std::string& case_folder, const std::string& pack_folder,
                                   FileSystem& files) {
  AFTERSCOPE_ASSIGN(const auto handed, CaseSession::Open(pack_folder, {{}, "", true}, files));
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(case_folder, {}, files));
  const auto origin = handed->record().extra.find(kHandedOver);
  for (const SignedReview& known : session->record().signed_reviews) {
    const SignedReview* answered = FindSigned(handed->record(), known.id);
    if (!answered || origin == handed->record().extra.end() || origin->second != OriginOf(known)) continue;
    SignedReview changed = known;
    TakenAnswers taken;
    for (const ReviewAnswer& answer : answered->answers) {
      const auto is_it = [&](const ReviewAnswer& own) { return own == answer; };
      const auto was_it = [&](const ReviewAnswer& own) { return MayBeScrubbed(own, answer); };
      if (std::any_of(known.answers.begin(), known.answers.end(), is_it)) continue;
      const bool scrubbed = std::any_of(known.answers.begin(), known.answers.end(), was_it);
      (scrubbed ? taken.scrubbed : taken.fresh) += 1;
      if (!scrubbed) changed.answers.push_back(answer);
    }
    if (taken.fresh > 0) {
      AFTERSCOPE_TRY(session->Commit({"Answers taken in", {Put<SignedReview>{changed}}}));
      AFTERSCOPE_TRY(session->SaveCheckpoint());
    }
    return taken;
  }
  return Error{ErrorCode::kBadCall,
               fmt::format("'{}' was not made from a review of '{}'.", pack_folder, case_folder)};
}

}  // namespace afterscope
