// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_session.hpp"

#include "annotate/store/case_links.hpp"
#include "annotate/store/document.hpp"
#include "annotate/store/scrub.hpp"
#include "annotate/store/spoken.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <set>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kCheckpointEvery = 200;  // entries

std::string ReviewsFolder(const std::string& folder) { return folder + "/reviews"; }
std::string ReviewFolder(const std::string& folder, const ReviewId& id) {
  return fmt::format("{}/reviews/{}", folder, id.value);
}

std::vector<ReviewId> ListReviews(FileSystem& files, const std::string& folder) {
  std::vector<ReviewId> reviews;
  const auto names = files.List(ReviewsFolder(folder));
  if (!names.ok()) return reviews;
  for (const std::string& name : *names)
    if (IsValidIdText(name) && Document::Exists(files, DocumentKind::kReview, ReviewFolder(folder, {name})))
      reviews.push_back({name});
  return reviews;
}

template <class Item>
void NoteId(const Edit& edit, std::set<std::string>& used) {
  if (const auto* put = std::get_if<Put<Item>>(&edit)) used.insert(put->item.id.value);
}

void NoteIds(const EditGroup& group, std::set<std::string>& used) {
  for (const Edit& edit : group.edits) {
    NoteId<StepVisit>(edit, used);
    NoteId<Moment>(edit, used);
    NoteId<Mark>(edit, used);
    NoteId<Trail>(edit, used);
    NoteId<ScaleDef>(edit, used);
  }
}

void NoteIds(const Review& review, std::set<std::string>& used) {
  const auto note = [&](const auto& items) {
    for (const auto& item : items) used.insert(item.id.value);
  };
  note(review.visits);
  note(review.moments);
  note(review.marks);
  note(review.trails);
  note(review.scales);
  note(review.captions);
  note(review.drafts);
}

// What can be undone or redone: an entry of one of the two journals.
struct Undoable {
  Document* document = nullptr;
  std::int64_t entry = 0;
};

class OpenSession final : public CaseSession {
 public:
  OpenSession(FileSystem& files, std::string folder, OpenCaseOptions options)
      : files_(files), folder_(std::move(folder)), options_(std::move(options)) {}
  ~OpenSession() override { static_cast<void>(SaveCheckpoint()); }

  Status Start() {
    Lock();
    AFTERSCOPE_TRY(Load());
    if (!read_only_) RemoveTemporaryFiles();
    return {};
  }

  const std::string& folder() const override { return folder_; }
  const CaseRecord& record() const override { return case_->state().record; }
  const Review& review() const override { return review_->state().review; }
  std::vector<ReviewId> Reviews() const override { return ListReviews(files_, folder_); }
  bool read_only() const override { return read_only_; }
  const std::vector<std::string>& cautions() const override { return cautions_; }
  std::uint64_t revision() const override { return revision_; }

  Status Commit(const EditGroup& group) override { return CommitAs(group, false); }
  Status CommitFacts(const EditGroup& group) override { return CommitAs(group, true); }

  std::string UndoLabel() const override { return LabelOf(done_); }
  std::string RedoLabel() const override { return LabelOf(undone_); }
  Status Undo() override { return Step(done_, undone_, false); }
  Status Redo() override { return Step(undone_, done_, true); }

  Result<int> Scrub(const std::string& text) override {
    AFTERSCOPE_TRY(Writable());
    AFTERSCOPE_TRY(SaveCheckpoint());
    std::vector<std::string> folders{folder_};
    for (const ReviewId& review : Reviews()) folders.push_back(ReviewFolder(folder_, review));
    AFTERSCOPE_ASSIGN(const int changed, ScrubFolders(files_, folders, text));
    for (const ReviewId& review : Reviews()) AFTERSCOPE_TRY(RemoveUnnamedSpoken(folder_, review, files_));
    cautions_.clear();
    AFTERSCOPE_TRY(Load());
    return changed;
  }

  Status SaveCheckpoint() override {
    if (read_only_ || !case_ || !review_) return {};
    AFTERSCOPE_TRY(case_->SaveCheckpoint());
    return review_begun_ ? review_->SaveCheckpoint() : Status();
  }

  VisitId NewVisitId() override { return {NewId('v')}; }
  MomentId NewMomentId() override { return {NewId('o')}; }
  MarkId NewMarkId() override { return {NewId('m')}; }
  TrailId NewTrailId() override { return {NewId('t')}; }
  ScaleId NewScaleId() override { return {NewId('s')}; }
  CaptionId NewCaptionId() override { return {NewId('c')}; }
  DraftId NewDraftId() override { return {NewId('d')}; }

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
    lock_problem_ = fmt::format("The case is opened read-only: {}", lock.error().message);
  }

  Status Load() {
    ++revision_;
    if (!lock_problem_.empty()) cautions_.push_back(lock_problem_);
    done_.clear();
    undone_.clear();
    case_.emplace(files_, DocumentKind::kCase, folder_);
    AFTERSCOPE_TRY(LoadDocument(*case_));
    AFTERSCOPE_TRY(LoadReview());
    if (!read_only_) AFTERSCOPE_TRY(RepairAll());
    RebuildStacks();
    NoteIds(review(), used_ids_);
    return {};
  }

  Status LoadDocument(Document& document) {
    AFTERSCOPE_ASSIGN(const Document::Found found, document.Load(lock_ == nullptr));
    cautions_.insert(cautions_.end(), found.cautions.begin(), found.cautions.end());
    read_only_ = read_only_ || found.read_only;
    return {};
  }

  Status LoadReview() {
    const std::vector<ReviewId> reviews = Reviews();
    const ReviewId id = options_.review.value_or(Chosen(reviews));
    if (!IsValidIdText(id.value))
      return Error{
          ErrorCode::kBadCall,
          fmt::format("Can't open a review '{}': an id is 1 to 64 of a-z, 0-9, '-' and '_'.", id.value)};
    review_.emplace(files_, DocumentKind::kReview, ReviewFolder(folder_, id));
    review_begun_ = std::find(reviews.begin(), reviews.end(), id) != reviews.end();
    if (review_begun_) return LoadDocument(*review_);
    review_->state().review.id = id;
    review_->state().review.reviewer_code = options_.reviewer_code;
    return {};
  }

  // The review to open where none was asked for: the unsigned one that was begun last, else the last one.
  ReviewId Chosen(const std::vector<ReviewId>& reviews) {
    ReviewId best{"r1"};
    std::pair<bool, std::int64_t> best_rank{false, -1};
    for (const ReviewId& id : reviews) {
      Document review(files_, DocumentKind::kReview, ReviewFolder(folder_, id));
      if (!review.Load(true).ok()) continue;
      const std::pair rank{!review.state().review.is_signed, review.last_order()};
      if (rank > best_rank) {
        best_rank = rank;
        best = id;
      }
    }
    if (best_rank.second < 0 && !reviews.empty()) return reviews.back();
    return best;
  }

  Status RepairAll() {
    Status done = case_->Repair();
    if (done.ok() && review_begun_) done = review_->Repair();
    if (done.ok()) return {};
    // The state is known; that the files can't be brought in order only means that nothing may be written.
    read_only_ = true;
    cautions_.push_back(fmt::format("The case is opened read-only: {}", done.error().message));
    return {};
  }

  void RebuildStacks() {
    struct Event {
      DocumentEvent what;
      Document* document;
    };
    std::vector<Event> events;
    for (const DocumentEvent& event : case_->events())
      if (event.review == review().id.value) events.push_back({event, &*case_});
    for (const DocumentEvent& event : review_->events()) events.push_back({event, &*review_});
    std::stable_sort(events.begin(), events.end(),
                     [](const Event& a, const Event& b) { return a.what.order < b.what.order; });
    for (const Event& event : events) {
      if (event.what.kind == "edits") {
        if (const EditPair* pair = event.document->Edits(event.what.entry)) {
          NoteIds(pair->group, used_ids_);
          NoteIds(pair->inverse, used_ids_);
        }
        Push({event.document, event.what.entry});
      } else {
        Shift(event.what.kind == "undo" ? done_ : undone_, event.what.kind == "undo" ? undone_ : done_,
              {event.document, event.what.of});
      }
    }
  }

  void Push(Undoable entry) {
    done_.push_back(entry);
    undone_.clear();
  }

  static void Shift(std::vector<Undoable>& from, std::vector<Undoable>& to, Undoable entry) {
    std::erase_if(from,
                  [&](const Undoable& u) { return u.document == entry.document && u.entry == entry.entry; });
    to.push_back(entry);
  }

  static std::string LabelOf(const std::vector<Undoable>& stack) {
    if (stack.empty()) return "";
    const EditPair* pair = stack.back().document->Edits(stack.back().entry);
    if (!pair) return "";
    return pair->group.label.empty() ? "Change" : pair->group.label;
  }

  Status Writable() const {
    if (!read_only_) return {};
    const std::string why = cautions_.empty() ? "it was opened so." : cautions_.front();
    return Error{ErrorCode::kUnwritable,
                 fmt::format("Can't change '{}', it is open read-only: {}", folder_, why)};
  }

  std::int64_t NextOrder() const { return std::max(case_->last_order(), review_->last_order()) + 1; }

  Status BeginReview() {
    if (review_begun_) return {};
    const std::string folder = ReviewFolder(folder_, review().id);
    AFTERSCOPE_TRY(MakeFolders(files_, folder));
    DocumentState state = review_->state();
    AFTERSCOPE_TRY(review_->Begin(state, NextOrder()));
    review_begun_ = true;
    return {};
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

  Status CommitAs(const EditGroup& group, bool facts) {
    AFTERSCOPE_TRY(Writable());
    if (group.edits.empty()) return {};
    AFTERSCOPE_ASSIGN(Document * document, DocumentOf(group));
    if (document == &*review_ && review().is_signed)
      return Error{ErrorCode::kBadCall,
                   fmt::format("Review '{}' is signed and can't be changed.", review().id.value)};
    if (document == &*review_) AFTERSCOPE_TRY(BeginReview());
    AFTERSCOPE_ASSIGN(EditGroup inverse, Apply(group, false));
    const EditPair pair{group, std::move(inverse)};
    if (const Status kept = document->AppendEdits(NextOrder(), pair, facts, review().id.value); !kept.ok()) {
      static_cast<void>(Apply(pair.inverse, true));
      return kept;
    }
    NoteIds(group, used_ids_);
    if (!facts) Push({document, document->last_entry()});
    Changed(*document);
    return {};
  }

  Status Step(std::vector<Undoable>& from, std::vector<Undoable>& to, bool redo) {
    AFTERSCOPE_TRY(Writable());
    if (from.empty())
      return Error{ErrorCode::kBadCall, redo ? "There is nothing to redo." : "There is nothing to undo."};
    const Undoable entry = from.back();
    const EditPair* pair = entry.document->Edits(entry.entry);
    AFTERSCOPE_ASSIGN(const EditGroup back, Apply(redo ? pair->group : pair->inverse, true));
    if (const Status kept = entry.document->AppendUndo(NextOrder(), redo, entry.entry, review().id.value);
        !kept.ok()) {
      static_cast<void>(Apply(back, true));
      return kept;
    }
    from.pop_back();
    to.push_back(entry);
    Changed(*entry.document);
    return {};
  }

  void Changed(Document& document) {
    ++revision_;
    // What is in the journal is safe; the readable text follows from time to time.
    if (document.entries_since_checkpoint() >= kCheckpointEvery) static_cast<void>(document.SaveCheckpoint());
  }

  void RemoveTemporaryFiles() {
    for (const std::string& folder : {folder_, ReviewFolder(folder_, review().id)}) {
      const auto names = files_.List(folder);
      if (!names.ok()) continue;
      for (const std::string& name : *names)
        if (IsTemporaryName(name)) static_cast<void>(files_.Remove(fmt::format("{}/{}", folder, name)));
    }
    // A remark that was spoken but never became part of the record.
    if (review_begun_) static_cast<void>(RemoveUnnamedSpoken(folder_, review().id, files_));
  }

  std::string NewId(char letter) {
    for (;;) {
      std::string id = fmt::format("{}{}", letter, ++id_counts_[static_cast<unsigned char>(letter) % 32]);
      if (used_ids_.insert(id).second) return id;
    }
  }

  FileSystem& files_;
  std::string folder_;
  OpenCaseOptions options_;
  std::unique_ptr<FileLock> lock_;
  std::string lock_problem_;
  bool read_only_ = false;
  bool review_begun_ = false;
  std::optional<Document> case_;
  std::optional<Document> review_;
  std::vector<std::string> cautions_;
  std::vector<Undoable> done_;
  std::vector<Undoable> undone_;
  std::set<std::string> used_ids_;
  std::int64_t id_counts_[32] = {};
  std::uint64_t revision_ = 0;
};

// Whether nothing but what a program left that ended in Create lies in a folder.
bool IsUnused(FileSystem& files, const std::string& folder) {
  const auto names = files.List(folder);
  return names.ok() && std::all_of(names->begin(), names->end(), [](const std::string& name) {
           return name == "lock" || IsTemporaryName(name);
         });
}

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
  if (!IsCaseFolder(case_folder, files))
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't open '{}': it is not a case folder, it has no case.json.", case_folder)};
  AFTERSCOPE_TRY(RefuseLinks(case_folder));
  auto session = std::make_unique<OpenSession>(files, case_folder, options);
  AFTERSCOPE_TRY(session->Start());
  return std::unique_ptr<CaseSession>(std::move(session));
}

Status CaseSession::Create(const std::string& case_folder, const CaseRecord& record, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(case_folder));
  if (info.type != FileType::kAbsent && !IsUnused(files, case_folder))
    return Error{ErrorCode::kUnwritable,
                 fmt::format("Can't start a case in '{}': something is there already; give a new folder.",
                             case_folder)};
  CaseRecord ordered = record;
  std::sort(ordered.consent.begin(), ordered.consent.end(),
            [](const Consent& a, const Consent& b) { return a.purpose < b.purpose; });
  AFTERSCOPE_TRY(MakeFolders(files, case_folder));
  AFTERSCOPE_ASSIGN(const std::unique_ptr<FileLock> lock, files.Lock(case_folder + "/lock"));
  Document document(files, DocumentKind::kCase, case_folder);
  return document.Begin({std::move(ordered), {}}, 1);
}

}  // namespace afterscope
