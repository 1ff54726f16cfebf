// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/store/case_session.hpp"

#include <condition_variable>
#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

namespace afterscope {

// What the panels read of the case that is open. Immutable.
struct CaseView {
  std::string folder;  // empty: bare recordings that have not become a case yet
  CaseRecord record;
  Review review;
  std::uint64_t revision = 0;  // counts up with every change
  std::string undo_label;      // empty: nothing to undo
  std::string redo_label;
  bool read_only = false;
  std::vector<std::string> cautions;
  std::vector<ReviewSummary> reviews;  // of the case, this one included once it is begun

  // Whose case it is must not be seen: the review is blinded and not signed yet, or signed and the question
  // whether the operator was recognised is still open. Then `record` and `review` are as blinding.hpp shows
  // them.
  bool hidden = false;
  bool asks_recognised = false;
  CaseRecord kept_record;  // as they lie on disk, where `hidden`
  Review kept_review;
  // For opening recordings, and for jobs that hide what is hidden themselves; never for the screen.
  const CaseRecord& KeptRecord() const { return hidden ? kept_record : record; }
  const Review& KeptReview() const { return hidden ? kept_review : review; }
};

// One thing the user did: builds its edits when its turn comes, on the state that is there then.
using CaseRequest = std::function<Result<EditGroup>(CaseSession&)>;
// What is done to the session beside edits: signing, a next version.
using CaseAct = std::function<Status(CaseSession&)>;
// Which review of a case folder is to be opened; may block.
using ReviewChooser = std::function<Result<OpenCaseOptions>(const std::string& folder)>;

// Where panels put what the user did.
class EditQueue {
 public:
  virtual ~EditQueue() = default;
  virtual void Push(CaseRequest request) = 0;
};

// Owns the session of the open case on a thread of its own, so that waiting for the disk never keeps the
// window from drawing. Edits are committed in the order they came; each publishes a new view. Push, Undo,
// Redo and view() may be called from any thread. Destruction first commits what waits.
class CaseDesk : public EditQueue {
 public:
  // Makes a case when the first edit comes and says its folder.
  using CaseMaker = std::function<Result<std::string>()>;
  struct Listener {
    std::function<void()> changed;            // a new view is there
    std::function<void(std::string)> said;    // something worth knowing
    std::function<void(std::string)> failed;  // one sentence: an edit was refused or could not be kept
  };

  explicit CaseDesk(Listener listener);
  ~CaseDesk() override;
  CaseDesk(const CaseDesk&) = delete;
  CaseDesk& operator=(const CaseDesk&) = delete;

  // Opens a case folder with the review that `choose` says (empty: the usual one), none where
  // that fails; the view comes later.
  void Open(const std::string& folder, ReviewChooser choose = {});
  // Bare recordings: shown as a case that is nowhere yet; `make` is called at the first edit.
  void ShowUnsaved(CaseRecord record, CaseMaker make);
  void Push(CaseRequest request) override;
  void Act(CaseAct act);
  void Undo();
  void Redo();
  std::shared_ptr<const CaseView> view() const;  // never null
  bool busy() const;                             // something is still to be committed

 private:
  void Enqueue(std::function<void()> task);
  void Work();
  bool EnsureSession();
  void OpenFolder(const std::string& folder, const OpenCaseOptions& options);
  void NoteReviews();
  void Finish(const Status& status);
  void Publish();

  const Listener listener_;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<std::function<void()>> tasks_;
  bool working_ = false;
  bool closing_ = false;
  std::shared_ptr<const CaseView> view_ = std::make_shared<CaseView>();
  // Used on the desk's thread only.
  std::unique_ptr<CaseSession> session_;
  std::vector<ReviewSummary> reviews_;
  CaseMaker make_;
  std::thread thread_;
};

}  // namespace afterscope
