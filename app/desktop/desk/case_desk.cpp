// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/case_desk.hpp"

#include "annotate/case/blinding.hpp"

#include <algorithm>

namespace afterscope {
namespace {

// Takes away what must not be seen, and keeps it apart.
void Hide(CaseView& view) {
  view.asks_recognised = AsksWhetherRecognised(view.record, view.review);
  view.hidden = view.asks_recognised || IsBlind(view.review);
  if (!view.hidden) return;
  view.kept_record = view.record;
  view.kept_review = view.review;
  Review blind = view.review;
  blind.is_signed = false;
  view.record = ShownRecord(view.kept_record, blind);
  view.review = ShownReview(view.kept_record, blind);
  view.review.is_signed = view.kept_review.is_signed;
}

}  // namespace

CaseDesk::CaseDesk(Listener listener) : listener_(std::move(listener)), thread_([this] { Work(); }) {}

CaseDesk::~CaseDesk() {
  {
    const std::lock_guard lock(mutex_);
    closing_ = true;
  }
  changed_.notify_all();
  thread_.join();
}

void CaseDesk::Enqueue(std::function<void()> task) {
  {
    const std::lock_guard lock(mutex_);
    tasks_.push_back(std::move(task));
  }
  changed_.notify_all();
}

void CaseDesk::Work() {
  std::unique_lock lock(mutex_);
  while (true) {
    changed_.wait(lock, [this] { return closing_ || !tasks_.empty(); });
    if (tasks_.empty()) break;
    const auto task = std::move(tasks_.front());
    tasks_.pop_front();
    working_ = true;
    lock.unlock();
    task();
    lock.lock();
    working_ = false;
  }
  lock.unlock();
  session_.reset();
}

bool CaseDesk::busy() const {
  const std::lock_guard lock(mutex_);
  return working_ || !tasks_.empty();
}

std::shared_ptr<const CaseView> CaseDesk::view() const {
  const std::lock_guard lock(mutex_);
  return view_;
}

void CaseDesk::Open(const std::string& folder, ReviewChooser choose) {
  Enqueue([this, folder, choose = std::move(choose)] {
    const auto options = choose ? choose(folder) : Result<OpenCaseOptions>(OpenCaseOptions{});
    if (!options) return listener_.failed(options.error().message);
    OpenFolder(folder, *options);
    Publish();
  });
}

void CaseDesk::OpenFolder(const std::string& folder, const OpenCaseOptions& options) {
  OpenCaseOptions own = options;
  own.as_its_reviewer = true;
  auto session = CaseSession::Open(folder, own);
  if (!session) {
    listener_.failed(session.error().message);
    return;
  }
  session_ = std::move(session).value();
  NoteReviews();
  for (const std::string& caution : session_->cautions()) listener_.said(caution);
}

void CaseDesk::NoteReviews() { reviews_ = session_->Summaries(); }

void CaseDesk::ShowUnsaved(CaseRecord record, CaseMaker make) {
  Enqueue([this, record = std::move(record), make = std::move(make)]() mutable {
    if (session_) return;  // it has become a case meanwhile
    make_ = std::move(make);
    auto view = std::make_shared<CaseView>();
    view->record = std::move(record);
    {
      const std::lock_guard lock(mutex_);
      view_ = std::move(view);
    }
    listener_.changed();
  });
}

bool CaseDesk::EnsureSession() {
  if (session_) return true;
  if (!make_) {
    listener_.failed("Nothing can be noted: no case is open; open a recording first.");
    return false;
  }
  const auto folder = make_();
  if (!folder) {
    listener_.failed(folder.error().message);
    return false;
  }
  OpenFolder(*folder, {});
  if (!session_) return false;
  listener_.said("A case was started in " + *folder);
  return true;
}

void CaseDesk::Finish(const Status& status) {
  if (!status) listener_.failed(status.error().message);
  Publish();
}

void CaseDesk::Push(CaseRequest request) {
  Enqueue([this, request = std::move(request)] {
    if (!EnsureSession()) return;
    const auto group = request(*session_);
    if (!group) return Finish(group.error());
    Finish(group->edits.empty() ? Status() : session_->Commit(*group));
  });
}

void CaseDesk::Act(CaseAct act) {
  Enqueue([this, act = std::move(act)] {
    if (!EnsureSession()) return;
    const Status done = act(*session_);
    NoteReviews();
    Finish(done);
  });
}

void CaseDesk::Undo() {
  Enqueue([this] {
    if (session_ && !session_->UndoLabel().empty()) Finish(session_->Undo());
  });
}

void CaseDesk::Redo() {
  Enqueue([this] {
    if (session_ && !session_->RedoLabel().empty()) Finish(session_->Redo());
  });
}

void CaseDesk::Publish() {
  if (!session_) return;
  auto view = std::make_shared<CaseView>();
  view->folder = session_->folder();
  view->record = session_->record();
  view->review = session_->review();
  view->revision = session_->revision() + 1;  // 0 is the empty desk
  view->undo_label = session_->UndoLabel();
  view->redo_label = session_->RedoLabel();
  view->read_only = session_->read_only();
  view->cautions = session_->cautions();
  const ReviewSummary own = SummaryOf(session_->review());
  const auto known = std::find_if(reviews_.begin(), reviews_.end(),
                                  [&](const ReviewSummary& review) { return review.id == own.id; });
  if (known != reviews_.end())
    *known = own;
  else if (own.is_touched)
    reviews_.push_back(own);
  view->reviews = reviews_;
  Hide(*view);
  {
    const std::lock_guard lock(mutex_);
    view_ = std::move(view);
  }
  listener_.changed();
}

}  // namespace afterscope
