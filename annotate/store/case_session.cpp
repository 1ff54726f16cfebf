// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_session.hpp"

#include "annotate/case/blinding.hpp"
#include "annotate/case/signing.hpp"
#include "annotate/case/words.hpp"
#include "annotate/store/case_links.hpp"
#include "annotate/store/change_rules.hpp"
#include "annotate/store/document.hpp"
#include "annotate/store/history.hpp"
#include "annotate/store/old_scores.hpp"
#include "annotate/store/pending_file.hpp"
#include "annotate/store/review_folders.hpp"
#include "annotate/store/scrub.hpp"
#include "annotate/store/sign_check.hpp"
#include "annotate/store/spoken.hpp"
#include "annotate/store/used_ids.hpp"
#include "annotate/store/whole_folder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kCheckpointEvery = 200;  // entries
constexpr std::size_t kMostVersionedId = 50;    // characters before "-vN"
const std::string kOnlyToRead = "it was opened only to be read.";

class OpenSession final : public CaseSession {
 public:
  OpenSession(FileSystem& files, std::string folder, OpenCaseOptions options)
      : files_(files), folder_(std::move(folder)), options_(std::move(options)) {}
  ~OpenSession() override {
    try {
      static_cast<void>(SaveCheckpoint());
    } catch (...) {  // out of memory, say: what is not in the checkpoint is in the journal
    }
  }

  Status Start() {
    Lock();
    AFTERSCOPE_TRY(Load());
    if (!read_only_) RemoveTemporaryFiles();
    return {};
  }

  const std::string& folder() const override { return folder_; }
  const CaseRecord& record() const override { return case_->state().record; }
  const Review& review() const override {
    return with_old_scores_ ? *with_old_scores_ : review_->state().review;
  }
  std::vector<ReviewId> Reviews() const override { return ListReviews(files_, folder_); }
  std::vector<ReviewSummary> Summaries() const override {
    std::vector<ReviewSummary> summaries;
    for (const ReviewId& id : Reviews()) {
      const auto other = ReadReview(id);
      if (other.ok()) summaries.push_back(SummaryOf(*other));
    }
    return summaries;
  }
  Result<Review> ReadReview(const ReviewId& id) const override {
    if (id == review().id) return review();
    Document other(files_, DocumentKind::kReview, ReviewFolder(folder_, id));
    AFTERSCOPE_TRY(other.Load(true));
    return WithOldScores(record(), other.state().review);
  }
  bool read_only() const override { return read_only_; }
  const std::vector<std::string>& cautions() const override { return cautions_; }
  std::uint64_t revision() const override { return revision_; }

  Status Commit(const EditGroup& group) override { return CommitAs(group, false); }
  Status CommitFacts(const EditGroup& group) override { return CommitAs(group, true); }

  std::string UndoLabel() const override { return history_.Label(false); }
  std::string RedoLabel() const override { return history_.Label(true); }
  Status Undo() override { return Step(false); }
  Status Redo() override { return Step(true); }

  Status BeginReview() override {
    AFTERSCOPE_TRY(Writable());
    if (review_begun_) return {};
    const std::string folder = ReviewFolder(folder_, review().id);
    AFTERSCOPE_TRY(MakeFolders(files_, folder));
    const DocumentState state = review_->state();
    AFTERSCOPE_TRY(review_->Begin(state, NextOrder()));
    review_begun_ = true;
    return {};
  }

  Status Sign(const std::string& by) override {
    AFTERSCOPE_TRY(Writable());
    const std::string signer = by.empty() ? Who() : by;
    AFTERSCOPE_TRY(CheckMaySign(review(), signer, folder_, files_));
    AFTERSCOPE_TRY(BeginReview());
    EditGroup group{"Sign the review", {}};
    if (review().reviewer_code.empty()) group.edits.emplace_back(SetReviewField{"reviewer_code", signer});
    group.edits.emplace_back(SetSignature{Signature{signer, UtcNow(), case_->last_entry()}});
    if (options_.reviewer_code.empty()) options_.reviewer_code = signer;
    AFTERSCOPE_TRY(Keep(group, *review_, true));
    if (const Status noted = NoteSeal(); !noted.ok())
      return Error{
          ErrorCode::kUnwritable,
          fmt::format("Review '{}' is signed, but the case does not have its seal yet: {} It gets it when it "
                      "is opened next.",
                      review().id.value, noted.error().message)};
    static_cast<void>(SaveCheckpoint());  // done again at the end
    return {};
  }

  Result<ReviewId> BeginNextVersion() override {
    AFTERSCOPE_TRY(Writable());
    if (!review().is_signed)
      return Error{ErrorCode::kBadCall,
                   fmt::format("Review '{}' is not signed: it can be changed as it is.", review().id.value)};
    const ReviewId first = SummaryOf(review()).version_of;
    for (const ReviewSummary& other : Summaries())
      if (other.version_of == first && other.version > review().version) return other.id;
    Review next = review();
    next.version += 1;
    next.version_of = first;
    next.id = FreshReviewId(Reviews(),
                            fmt::format("{}-v{}", first.value.substr(0, kMostVersionedId), next.version));
    next.earlier_seal = review_->last_digest();
    next.is_signed = false;
    next.signature = {};
    // The reviewer has been told whose case it is.
    if (next.blinding == Blinding::kBlinded) next.blinding = Blinding::kLifted;
    const std::string folder = ReviewFolder(folder_, next.id);
    AFTERSCOPE_TRY(MakeFolders(files_, folder));
    AFTERSCOPE_TRY(CopySpoken(folder_, review(), next.id, files_));
    Document document(files_, DocumentKind::kReview, folder);
    AFTERSCOPE_TRY(document.Begin({{}, next}, NextOrder()));
    return next.id;
  }

  Result<int> Scrub(const std::string& text) override {
    AFTERSCOPE_TRY(Writable());
    AFTERSCOPE_TRY(SaveCheckpoint());
    AFTERSCOPE_ASSIGN(const int changed, ScrubCase(files_, folder_, text, Who()));
    for (const ReviewId& review : Reviews()) AFTERSCOPE_TRY(RemoveUnnamedSpoken(folder_, review, files_));
    cautions_.clear();
    AFTERSCOPE_TRY(Load());
    return changed;
  }

  Status Writable() const override {
    if (!read_only_) return {};
    const std::string& why = !read_only_reason_.empty() ? read_only_reason_
                             : cautions_.empty()        ? kOnlyToRead
                                                        : cautions_.front();
    return Error{ErrorCode::kUnwritable, fmt::format("Can't change '{}': {}", folder_, why)};
  }

  Status SaveCheckpoint() override {
    if (read_only_ || !case_ || !review_) return {};
    AFTERSCOPE_TRY(case_->SaveCheckpoint());
    return review_begun_ ? review_->SaveCheckpoint() : Status();
  }

  VisitId NewVisitId() override { return {ids_.Fresh('v')}; }
  MomentId NewMomentId() override { return {ids_.Fresh('o')}; }
  MarkId NewMarkId() override { return {ids_.Fresh('m')}; }
  TrailId NewTrailId() override { return {ids_.Fresh('t')}; }
  ScaleId NewScaleId() override { return {ids_.Fresh('s')}; }
  CaptionId NewCaptionId() override { return {ids_.Fresh('c')}; }
  DraftId NewDraftId() override { return {ids_.Fresh('d')}; }

 private:
  void Lock() {
    if (options_.read_only) {
      read_only_ = true;
      return;
    }
    auto lock = files_.Lock(folder_ + "/lock");
    if (lock.ok()) {
      lock_ = std::move(*lock);
      return;
    }
    read_only_ = true;
    lock_problem_ = lock.error().message;
  }

  Status Load() {
    ++revision_;
    if (!lock_problem_.empty()) OpenReadOnly(lock_problem_);
    case_.emplace(files_, DocumentKind::kCase, folder_);
    AFTERSCOPE_TRY(LoadDocument(*case_));
    AFTERSCOPE_TRY(LoadReview());
    if (!read_only_) RepairAll();
    TakeOldScores();
    if (!read_only_) static_cast<void>(NoteSeal());
    RebuildHistory();
    ids_.Note(review());
    return {};
  }

  // Scores of a case of format 1.1 (old_scores.hpp): moved for good where the review may be written, else
  // only shown as the review's.
  void TakeOldScores() {
    with_old_scores_.reset();
    const Review& own = review_->state().review;
    const ScoreMove move = review_begun_ ? MoveOldScores(record(), own) : ScoreMove{};
    if (move.empty()) return;
    if (!read_only_ && !own.is_signed) {
      Status moved = move.review.edits.empty() ? Status() : Keep(move.review, *review_, true);
      if (moved.ok()) moved = Keep(move.record, *case_, true);
      if (moved.ok()) return;
      OpenReadOnly(moved.error().message);
    }
    with_old_scores_ = WithOldScores(record(), own);
  }

  Status LoadDocument(Document& document) {
    AFTERSCOPE_ASSIGN(const Document::Found found, document.Load(lock_ == nullptr));
    TakeFound(found);
    return {};
  }
  void TakeFound(const Document::Found& found) {
    cautions_.insert(cautions_.end(), found.cautions.begin(), found.cautions.end());
    read_only_ = read_only_ || found.read_only;
  }

  Status LoadReview() {
    ChosenReview chosen = options_.review ? ChosenReview{*options_.review, std::nullopt, {}}
                                          : ChooseReview(files_, folder_, options_, lock_ == nullptr);
    const ReviewId& id = chosen.id;
    if (!IsValidIdText(id.value))
      return Error{
          ErrorCode::kBadCall,
          fmt::format("Can't open a review '{}': an id is 1 to 64 of a-z, 0-9, '-' and '_'.", id.value)};
    review_begun_ = true;
    if (chosen.document) {
      review_.emplace(std::move(*chosen.document));
      TakeFound(chosen.found);
      return {};
    }
    review_.emplace(files_, DocumentKind::kReview, ReviewFolder(folder_, id));
    const std::vector<ReviewId> reviews = Reviews();
    review_begun_ = std::find(reviews.begin(), reviews.end(), id) != reviews.end();
    if (review_begun_) return LoadDocument(*review_);
    if (options_.review && options_.read_only && !options_.may_be_absent)
      return Error{ErrorCode::kBadCall, fmt::format("'{}' has no review '{}'.", folder_, id.value)};
    Review& fresh = review_->state().review;
    fresh.id = id;
    fresh.reviewer_code = options_.reviewer_code;
    fresh.kind = options_.new_review.kind;
    fresh.is_self = options_.new_review.is_self;
    fresh.blinding = options_.new_review.blinding;
    return {};
  }

  // `why` is a sentence of its own, which is told first and once.
  void OpenReadOnly(const std::string& why) {
    read_only_ = true;
    read_only_reason_ = why;
    cautions_.push_back(fmt::format("'{}' can be read but not changed: {}", folder_, why));
  }

  void RepairAll() {
    Status done = case_->Repair();
    if (done.ok() && review_begun_) done = review_->Repair();
    // The state is known; that the journals can't be brought in order only means that nothing may be written.
    if (!done.ok()) return OpenReadOnly(done.error().message);
    // The readable copies may stay behind: the journals are whole.
    if (const Status saved = SaveCheckpoint(); !saved.ok())
      cautions_.push_back(
          fmt::format("The readable copy of the case could not be renewed: {}", saved.error().message));
  }

  void RebuildHistory() {
    history_.Rebuild(*case_, *review_, review().id, ids_);
    if (review().is_signed) history_.Drop(*review_);
  }

  std::int64_t NextOrder() const { return std::max(case_->last_order(), review_->last_order()) + 1; }

  // The case keeps the seal of a review that is signed; done when it is opened where a program ended before.
  Status NoteSeal() {
    if (!review_begun_ || !review().is_signed || FindSigned(record(), review().id)) return {};
    const SignedReview kept{review().id, review_->last_digest(), {}, {}};
    return Keep({"Note the seal", {Put<SignedReview>{kept}}}, *case_, true);
  }

  Result<EditGroup> Apply(const EditGroup& group, bool again) {
    CaseRecord& record = case_->state().record;
    Review& review = review_->state().review;
    return again ? ReapplyEdits(group, record, review) : ApplyEdits(group, record, review);
  }

  // Which document a group changes.
  Result<Document*> DocumentOf(const EditGroup& group) {
    const auto case_edits = std::count_if(group.edits.begin(), group.edits.end(), IsCaseEdit);
    if (case_edits == static_cast<std::ptrdiff_t>(group.edits.size())) return &*case_;
    if (case_edits == 0) return &*review_;
    return Error{ErrorCode::kBadCall,
                 "A change of the case's fields and one of the review can't be one group of edits."};
  }

  // Who changes something here; empty: not said.
  std::string Who() const {
    return options_.reviewer_code.empty() && options_.as_its_reviewer ? review().reviewer_code
                                                                      : options_.reviewer_code;
  }
  EditContext Context() const { return {review().id.value, Who()}; }

  // Who gives the review his code has said who he is.
  void NoteWho(const EditGroup& group) {
    for (const Edit& edit : group.edits)
      if (const auto* set = std::get_if<SetReviewField>(&edit);
          set && set->field == "reviewer_code" && options_.reviewer_code.empty())
        options_.reviewer_code = set->text;
  }

  Status CommitAs(const EditGroup& group, bool facts) {
    AFTERSCOPE_TRY(Writable());
    if (group.edits.empty()) return {};
    AFTERSCOPE_ASSIGN(Document * document, DocumentOf(group));
    if (TouchesSeals(group, record()))
      return Error{ErrorCode::kBadCall, "A review is sealed by signing it, not by an edit."};
    if (SetsOldScores(group))
      return Error{ErrorCode::kBadCall,
                   "Scores and what became of the earlier goal belong to the review, not to the fields of "
                   "the case."};
    AFTERSCOPE_TRY(CheckOtherReviews(files_, folder_, review().id, record(), group));
    if (document == &*review_) {
      AFTERSCOPE_TRY(CheckReviewChange(review(), group));
      AFTERSCOPE_TRY(CheckSaysWho(review(), Who()));
      AFTERSCOPE_TRY(BeginReview());
    }
    return Keep(group, *document, facts || LiftsBlinding(group));
  }

  // Applies and journals.
  Status Keep(const EditGroup& group, Document& document, bool facts) {
    AFTERSCOPE_ASSIGN(EditGroup inverse, Apply(group, false));
    const EditPair pair{group, std::move(inverse)};
    if (Status kept = document.AppendEdits(NextOrder(), pair, facts, Context()); !kept.ok()) {
      static_cast<void>(Apply(pair.inverse, true));
      return kept;
    }
    NoteWho(group);
    ids_.Note(group);
    if (!facts) history_.Add({&document, document.last_entry()});
    if (review().is_signed) history_.Drop(*review_);
    Changed(document);
    return {};
  }

  Status Step(bool redo) {
    AFTERSCOPE_TRY(Writable());
    const Undoable* entry = history_.Next(redo);
    if (!entry)
      return Error{ErrorCode::kBadCall, redo ? "There is nothing to redo." : "There is nothing to undo."};
    Document& document = *entry->document;
    if (&document == &*review_) AFTERSCOPE_TRY(CheckSaysWho(review(), Who()));
    const EditPair* pair = document.Edits(entry->entry);
    const EditGroup& step = redo ? pair->group : pair->inverse;
    AFTERSCOPE_TRY(CheckOtherReviews(files_, folder_, review().id, record(), step));
    const auto before = &document == &*case_ ? std::optional(record()) : std::nullopt;
    AFTERSCOPE_ASSIGN(const EditGroup back, Apply(step, true));
    if (before && !LeadsBack(record(), redo ? pair->inverse : pair->group, *before)) {
      static_cast<void>(Apply(back, true));
      const std::string label = history_.Label(redo);
      history_.PassOver(redo);
      return Error{ErrorCode::kBadCall,
                   fmt::format("Can't {} '{}': it was changed again since, by another review or program.",
                               redo ? "redo" : "undo", label)};
    }
    if (Status kept = document.AppendUndo(NextOrder(), redo, entry->entry, Context()); !kept.ok()) {
      static_cast<void>(Apply(back, true));
      return kept;
    }
    history_.Move(redo);
    Changed(document);
    return {};
  }

  void Changed(Document& document) {
    ++revision_;
    // What is in the journal is safe; the readable text follows from time to time.
    if (document.entries_since_checkpoint() >= kCheckpointEvery) static_cast<void>(document.SaveCheckpoint());
  }

  void RemoveTemporaryFiles() {
    for (const char* inside : {"", "/cache", "/clips", "/clips/voice", "/clips/sounds", "/score_sheets"})
      RemoveLeftovers(files_, folder_ + inside);
    for (const ReviewId& id : Reviews())
      for (const char* inside : {"", "/trails", "/followed", "/spoken"})
        RemoveLeftovers(files_, ReviewFolder(folder_, id) + inside);
    // A remark that was spoken but never became part of the record.
    if (review_begun_) static_cast<void>(RemoveUnnamedSpoken(folder_, review().id, files_));
  }

  FileSystem& files_;
  std::string folder_;
  OpenCaseOptions options_;
  std::unique_ptr<FileLock> lock_;
  std::string lock_problem_;
  std::string read_only_reason_;  // where there is one besides having been asked for
  bool read_only_ = false;
  bool review_begun_ = false;
  std::optional<Document> case_;
  std::optional<Document> review_;
  std::optional<Review> with_old_scores_;
  std::vector<std::string> cautions_;
  History history_;
  UsedIds ids_;
  std::uint64_t revision_ = 0;
};

}  // namespace

bool IsCaseFolder(const std::string& folder, FileSystem& files) {
  return Document::Exists(files, DocumentKind::kCase, folder);
}

Result<std::unique_ptr<CaseSession>> CaseSession::Open(const std::string& case_folder,
                                                       const OpenCaseOptions& options, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(case_folder));
  if (info.type != FileType::kDirectory)
    return Error{
        ErrorCode::kUnreadable,
        fmt::format("Can't open '{}': {}.", case_folder,
                    info.type == FileType::kAbsent ? "there is no such folder" : "it is not a folder")};
  for (const char* name : {"/journal", "/case.json"})
    if (const auto file = files.Stat(case_folder + name); !file.ok()) return file.error();
  if (!IsCaseFolder(case_folder, files))
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't open '{}': it is not a case folder, it has no case.json.", case_folder)};
  AFTERSCOPE_ASSIGN(const std::vector<std::string> links, LinksBesides(case_folder));
  auto session = std::make_unique<OpenSession>(files, case_folder, options);
  AFTERSCOPE_TRY(session->Start());
  AFTERSCOPE_TRY(RefuseUnnamedLinks(case_folder, links, session->record()));
  return std::unique_ptr<CaseSession>(std::move(session));
}

Status CaseSession::Create(const std::string& case_folder, const CaseRecord& record, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(case_folder));
  const Error taken{
      ErrorCode::kUnwritable,
      fmt::format("Can't start a case in '{}': something is there already; give a new folder.", case_folder)};
  if (info.type != FileType::kAbsent && !IsUnused(files, case_folder)) return taken;
  CaseRecord ordered = record;
  std::sort(ordered.consent.begin(), ordered.consent.end(),
            [](const Consent& a, const Consent& b) { return a.purpose < b.purpose; });
  AFTERSCOPE_TRY(MakeFolders(files, case_folder));
  AFTERSCOPE_ASSIGN(const std::unique_ptr<FileLock> lock, files.Lock(case_folder + "/lock"));
  // Another program may have made a case there before the lock was free.
  if (!IsUnused(files, case_folder)) return taken;
  Document document(files, DocumentKind::kCase, case_folder);
  return document.Begin({std::move(ordered), {}}, 1);
}

}  // namespace afterscope
