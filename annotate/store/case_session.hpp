// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/edit.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/review_access.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What a review is that is made; a review that is there already stays as it is.
struct NewReview {
  ReviewKind kind = ReviewKind::kFormative;
  bool is_self = false;  // the operator's own view of his case
  Blinding blinding = Blinding::kOpen;
};

struct OpenCaseOptions {
  // Which review; made at the first edit where it is not there yet, refused (kBadCall) where
  // `read_only` leaves no edit, unless it `may_be_absent`. Empty: of the reviews that are not another
  // reviewer's (`reviewer_code`) and are an own view or not as `new_review` says, the unsigned one that was
  // begun last, else the last one, else a new one.
  std::optional<ReviewId> review;
  std::string reviewer_code;  // empty: anyone's; otherwise also noted as who changed what
  bool read_only = false;
  NewReview new_review = {};
  // Where `reviewer_code` is empty, whoever works is taken to be the review's reviewer. If not, he is not
  // known, and a formal review that has a reviewer can't be changed.
  bool as_its_reviewer = false;
  bool may_be_absent = false;  // an empty review is shown in its place
};

// Whether a folder holds a case.
bool IsCaseFolder(const std::string& folder, FileSystem& files = RealFileSystem());

// A case folder that is open, with one review; several reviews of a case live side by side. Every commit is
// in the journal and synced before it is acknowledged; the readable JSON beside it is a checkpoint. A second
// program on the same case gets it read-only. One thread at a time.
class CaseSession {
 public:
  static Result<std::unique_ptr<CaseSession>> Open(const std::string& case_folder,
                                                   const OpenCaseOptions& options,
                                                   FileSystem& files = RealFileSystem());
  // Makes the folder (it must be absent or empty) and its case.json.
  static Status Create(const std::string& case_folder, const CaseRecord& record,
                       FileSystem& files = RealFileSystem());
  virtual ~CaseSession() = default;

  virtual const std::string& folder() const = 0;
  virtual const CaseRecord& record() const = 0;
  virtual const Review& review() const = 0;
  virtual std::vector<ReviewId> Reviews() const = 0;
  // All reviews of the case that can be read, in order of their ids, this one included as soon as it is
  // begun. Reads their files. Before one is shown beside another, ask MayBeShown (review_access.hpp).
  virtual std::vector<ReviewSummary> Summaries() const = 0;
  // Another review of the case as it is on disk.
  virtual Result<Review> ReadReview(const ReviewId& id) const = 0;
  virtual bool read_only() const = 0;
  // Fails where it is, and says why in one sentence.
  virtual Status Writable() const = 0;
  // What the user should be told about how it opened (read-only and why, a journal's torn tail, a changed
  // file ...).
  virtual const std::vector<std::string>& cautions() const = 0;
  // Counts up with every change of record() or review(); what is derived from them can be kept until it
  // changes.
  virtual std::uint64_t revision() const = 0;

  // Durable when it returns success; on failure nothing has changed. A group changes the case's fields or the
  // review, not both (each has its own journal).
  virtual Status Commit(const EditGroup& group) = 0;
  // The same for what the program found out, such as a frame table now verified: undo passes it over.
  virtual Status CommitFacts(const EditGroup& group) = 0;
  // Undo without limit, also of what was done before this program started. Empty label: nothing to undo.
  virtual std::string UndoLabel() const = 0;
  virtual std::string RedoLabel() const = 0;
  virtual Status Undo() = 0;
  virtual Status Redo() = 0;

  // Makes the review now rather than at its first edit.
  virtual Status BeginReview() = 0;
  // Signs the review by that code (empty: of who opened it; refused where nobody said). From then on it is
  // sealed: its folder never changes again but by a scrub, and the case keeps its seal, which a check
  // compares (where only that fails, the error says so). Can't be undone. What follows is said beside it
  // (signing.hpp), or is a new version.
  virtual Status Sign(const std::string& by) = 0;
  // Begins the next version of this signed review, with all that it holds; the version before stays as it is.
  // Returns its id, to be opened; where the next version was begun already, its id.
  virtual Result<ReviewId> BeginNextVersion() = 0;

  // Replaces a text (two or more bytes; in any case of letters and any encoding of accents) by "[scrubbed]"
  // wherever the case and all its reviews hold it, journals and files put aside included, for good; a spoken
  // remark's sound goes with its text, or by its file's name; report.pdf and cache/ are removed. Ids stay.
  // Returns how many journal entries were changed. What a file system or a backup still holds of the old
  // files is beyond its reach.
  virtual Result<int> Scrub(const std::string& text) = 0;
  // Writes the readable JSON if it is behind the journal; also done at the end.
  virtual Status SaveCheckpoint() = 0;

  // Ids that are not in use, a new one at each call.
  virtual VisitId NewVisitId() = 0;
  virtual MomentId NewMomentId() = 0;
  virtual MarkId NewMarkId() = 0;
  virtual TrailId NewTrailId() = 0;
  virtual ScaleId NewScaleId() = 0;
  virtual CaptionId NewCaptionId() = 0;
  virtual DraftId NewDraftId() = 0;
};

}  // namespace afterscope
