// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/edit.hpp"
#include "annotate/case/review.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

struct OpenCaseOptions {
  std::optional<ReviewId>
      review;  // empty: the only one, the newest unsigned one, or a first one made at the first edit
  std::string reviewer_code;
  bool read_only = false;
};

// Whether a folder holds a case.
bool IsCaseFolder(const std::string& folder, FileSystem& files = RealFileSystem());

// A case folder that is open, with one review. Every commit is in the journal and synced before it is
// acknowledged; the readable JSON beside it is a checkpoint. A second program on the same case gets it
// read-only. One thread at a time.
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
  virtual bool read_only() const = 0;
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

  // Replaces a text (two or more bytes; ASCII letters of either case) by "[scrubbed]" wherever the case and
  // all its reviews hold it, journals included, for good; a spoken remark's sound goes with its text, or by
  // its file's name. Returns how many entries were changed. What a backup still holds is beyond its reach.
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
