// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "app/common/job_scope.hpp"
#include "app/desktop/desk/case_desk.hpp"
#include "app/desktop/desk/view_settings.hpp"
#include "app/desktop/fairly/beside_review.hpp"
#include "app/desktop/notes/ask_panel.hpp"

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// What the window does for whoever handles reviews.
struct FairCalls {
  std::function<void(const std::string&, bool failure)> say;
  std::function<void(CaseAct)> act;           // on the open case
  std::function<void(ReviewChooser)> reopen;  // the open case with another review
  std::function<void(FrameRef)> jump;
};

// What the sheet of the review shows beside the case.
struct FairState {
  NewReview next;                  // what a review would be that is begun now
  std::optional<ReviewId> beside;  // whose differences are listed
  JobHandle loading;               // its review
  std::vector<DifferenceLine> differences;
  std::optional<std::size_t> at;  // the one that was gone to

  bool Loading() const { return loading && !loading->ended(); }
};

// Reviews of the open case: which is open, begun, signed, and how two of them differ. What is asked is asked
// by the window's one question. One thread.
class FairDesk {
 public:
  FairDesk(JobRunner& jobs, AskState& ask, ViewSettings& settings, FairCalls calls)
      : jobs_(jobs), ask_(ask), settings_(settings), calls_(std::move(calls)) {}

  // What is open now, once a frame; asks what is to be asked.
  struct Open {
    std::shared_ptr<const CaseView> view;
    CaseClock clock;
    const StepList* steps = nullptr;
    const std::vector<Finding>* findings = nullptr;
    const FindingLabels* labels = nullptr;
  };
  void Follow(Open open);
  void Forget();  // another case or review

  // Actions of the key map: "review kind", "review whose", "review blinded" (what a review would be that is
  // begun next), "begin review", "sign review", "new version", "answer review", "lift blinding",
  // "list differences" (from the next review that may be seen beside this one), "next difference", "previous
  // difference". False: not one of these.
  bool Do(const std::string& action);

  // What the sheet's rows do.
  void Enter(const ReviewId& id);  // works in that review from now on
  void ListDifferences(const ReviewId& other);
  void GoTo(std::size_t difference);

  const FairState& state() const { return state_; }
  // Once after keys went to a difference: its line is to be brought into sight.
  bool TakeTurn() { return std::exchange(turned_, false); }
  bool has_differences() const { return !state_.differences.empty(); }

 private:
  bool ChangeNext(const std::string& action);
  void NoteRecognised(Recognition recognised);
  bool Writable() const;
  void Begin();
  void Sign();
  void Answer();
  void NextVersion();
  void AskRecognised();
  void LiftBlinding();
  void ListNext();
  void Step(int direction);
  void MakeLines();
  void Reopen(ReviewChooser chooser, const ReviewId& id);
  std::string SignerCode() const;
  ReviewNames Names() const;

  JobScope jobs_;
  AskState& ask_;
  ViewSettings& settings_;
  FairCalls calls_;
  Open open_;
  bool turned_ = false;
  FairState state_;
  std::optional<BesideReview> beside_;
  std::uint64_t lines_revision_ = 0;
  bool asked_ = false;  // whether the operator was recognised
};

}  // namespace afterscope
