// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/fair_desk.hpp"

#include "annotate/case/signing.hpp"
#include "annotate/case/words.hpp"
#include "app/common/console.hpp"
#include "app/desktop/fairly/review_choice.hpp"
#include "app/desktop/fairly/review_lines.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

// "no", "perhaps", "yes" or their beginning.
std::optional<Recognition> RecognitionIn(const std::string& words) {
  for (const Recognition each : {Recognition::kNo, Recognition::kPerhaps, Recognition::kYes})
    if (!words.empty() && WordOf(each).starts_with(words)) return each;
  return std::nullopt;
}

std::string NextReviewWords(const NewReview& next) {
  return fmt::format("{}{} {}", next.blinding == Blinding::kBlinded ? "blinded " : "", WordOf(next.kind),
                     next.is_self ? "own view of the operator" : "review");
}

}  // namespace

void FairDesk::Forget() {
  const NewReview next = state_.next;
  state_ = {};
  state_.next = next;
  beside_.reset();
  asked_ = false;
  jobs_.Renew();
}

void FairDesk::Follow(Open open) {
  open_ = std::move(open);
  if (beside_ && open_.view->revision != lines_revision_) MakeLines();
  if (open_.view->asks_recognised && !asked_ && !ask_.open()) AskRecognised();
}

bool FairDesk::Do(const std::string& action) {
  if (ChangeNext(action)) return true;
  if (action == "begin review")
    Begin();
  else if (action == "sign review")
    Sign();
  else if (action == "new version")
    NextVersion();
  else if (action == "answer review")
    Answer();
  else if (action == "lift blinding")
    LiftBlinding();
  else if (action == "list differences")
    ListNext();
  else if (action == "next difference" || action == "previous difference")
    Step(action == "next difference" ? 1 : -1);
  else
    return false;
  return true;
}

// What a review would be that is begun now; the operator's own view is never blind.
bool FairDesk::ChangeNext(const std::string& action) {
  NewReview& next = state_.next;
  if (action == "review kind")
    next.kind = next.kind == ReviewKind::kFormal ? ReviewKind::kFormative : ReviewKind::kFormal;
  else if (action == "review whose")
    next.is_self = !next.is_self;
  else if (action == "review blinded")
    next.blinding = next.blinding == Blinding::kBlinded ? Blinding::kOpen : Blinding::kBlinded;
  else
    return false;
  if (next.is_self) next.blinding = Blinding::kOpen;
  calls_.say("The next review that is begun is a " + NextReviewWords(next) + ".", false);
  return true;
}

bool FairDesk::Writable() const {
  if (open_.view->folder.empty())
    calls_.say("There is no review yet: note or mark something first, and it becomes a case.", true);
  else if (open_.view->read_only)
    calls_.say("This case can't be changed: it is open read-only.", true);
  else
    return true;
  return false;
}

// The review that was chosen is opened again next time.
void FairDesk::Reopen(ReviewChooser chooser, const ReviewId& id) {
  RememberReview(settings_, open_.view->folder, id.value);
  calls_.reopen(std::move(chooser));
}

void FairDesk::Begin() {
  if (!Writable()) return;
  const NewReview next = state_.next;
  std::string code =
      next.is_self && !open_.view->hidden ? open_.view->record.operator_code : settings_.reviewer_code;
  Ask(ask_, "Begin a " + NextReviewWords(next), "the code of who reviews; it may be empty", std::move(code),
      [this, next](const std::string& typed) {
        if (!next.is_self) settings_.reviewer_code = typed;
        Reopen(BeginReviewAs(typed, next), FreshReview(open_.view->reviews));
      });
}

void FairDesk::Enter(const ReviewId& id) {
  const auto lines = ReviewLines(open_.view->reviews, open_.view->review, open_.view->hidden);
  const auto line = std::find_if(lines.begin(), lines.end(), [&](const ReviewLine& l) { return l.id == id; });
  if (line == lines.end() || line->door == ReviewDoor::kThis) return;
  const auto review = std::find_if(open_.view->reviews.begin(), open_.view->reviews.end(),
                                   [&](const ReviewSummary& r) { return r.id == id; });
  if (line->door != ReviewDoor::kHidden) return Reopen(ChooseReviewOf(*review, settings_.reviewer_code), id);
  Ask(ask_, "This review is hidden from the open one: only its own reviewer works in it",
      "the reviewer's code", "", [this, hidden = *review](const std::string& typed) {
        if (typed == hidden.reviewer_code) return Reopen(ChooseReviewOf(hidden, typed), hidden.id);
        calls_.say("That is not its reviewer's code; it stays hidden until both are signed.", true);
      });
}

std::string FairDesk::SignerCode() const {
  const Review& review = open_.view->review;
  if (!review.reviewer_code.empty()) return review.reviewer_code;
  return review.is_self ? open_.view->KeptRecord().operator_code : settings_.reviewer_code;
}

void FairDesk::Sign() {
  if (!Writable()) return;
  const Review& review = open_.view->review;
  if (open_.view->asks_recognised) return AskRecognised();
  if (review.is_signed)
    return calls_.say("This review is signed already; what changes is a new version.", true);
  if (!IsTouched(review)) return calls_.say("There is nothing to sign: this review holds nothing yet.", true);
  Ask(ask_, "Sign this review: it is sealed then, what changes later is a new version",
      "your code, never a name", SignerCode(), [this, self = review.is_self](const std::string& code) {
        if (code.empty()) return calls_.say("Not signed: say by which code.", true);
        if (!self) settings_.reviewer_code = code;
        calls_.act([code](CaseSession& session) { return session.Sign(code); });
      });
  ask_.irreversible = true;
}

void FairDesk::AskRecognised() {
  asked_ = true;
  Ask(ask_, "Signed. Did you recognise whose case it is?", "no, perhaps or yes; the first letter will do", "",
      [this](const std::string& words) {
        if (const auto recognised = RecognitionIn(words)) return NoteRecognised(*recognised);
        calls_.say("Not noted: answer no, perhaps or yes; the sheet of the review asks again.", true);
      });
  for (const Recognition each : {Recognition::kNo, Recognition::kPerhaps, Recognition::kYes})
    ask_.offers.emplace_back(WordOf(each));
}

void FairDesk::NoteRecognised(Recognition recognised) {
  calls_.act([recognised](CaseSession& session) -> Status {
    AFTERSCOPE_ASSIGN(const EditGroup group,
                      NoteRecognition(session.record(), session.review().id, recognised));
    return session.Commit(group);
  });
}

void FairDesk::LiftBlinding() {
  if (!open_.view->hidden) return calls_.say("Nothing is hidden in this review.", false);
  if (!Writable()) return;
  Ask(ask_, "Lift the blinding: it can't be put back, and it stays noted", "Enter lifts it", "",
      [this](const std::string&) {
        calls_.act([](CaseSession& session) {
          return session.Commit({"Lift the blinding", {SetReviewField{"blinding", "lifted"}}});
        });
      });
  ask_.irreversible = true;
}

void FairDesk::Answer() {
  if (!Writable()) return;
  if (!open_.view->review.is_signed)
    return calls_.say("A review is answered once it is signed; until then it can be changed.", true);
  Ask(ask_, "Answer this review", "what is to be said to it", "", [this](const std::string& words) {
    const std::string date = Today();
    calls_.act([words, date, by = settings_.reviewer_code](CaseSession& session) -> Status {
      AFTERSCOPE_ASSIGN(const EditGroup group,
                        AnswerReview(session.record(), session.review().id, {by, date, words}));
      return session.Commit(group);
    });
  });
}

void FairDesk::NextVersion() {
  if (!Writable()) return;
  if (!open_.view->review.is_signed)
    return calls_.say("This review is not signed: it can be changed as it is.", true);
  const ReviewId id = open_.view->review.id;
  ForgetReview(settings_, open_.view->folder);  // its id is known once it is begun
  calls_.reopen(BeginVersionAfter(id, settings_.reviewer_code));
}

ReviewNames FairDesk::Names() const {
  const auto name = [](const Review& review, const char* otherwise) {
    if (review.is_self) return std::string("the own view");
    return review.reviewer_code.empty() ? std::string(otherwise) : review.reviewer_code + "'s";
  };
  ReviewNames names{name(open_.view->review, "this one"), name(beside_->review, "the other")};
  if (names.first == names.second) names.first = "this one";
  return names;
}

void FairDesk::ListDifferences(const ReviewId& other) {
  if (open_.view->folder.empty() || open_.steps == nullptr) return;
  state_.beside = other;
  state_.at.reset();
  state_.differences.clear();
  beside_.reset();
  state_.loading = jobs_.Start(
      "Reading the other review",
      [folder = open_.view->folder, own = open_.view->review.id, other, steps = *open_.steps](
          const Progress&, const StopQuery&) { return LoadBeside(folder, own, other, steps); },
      [this, other](Result<BesideReview> loaded) {
        if (state_.beside != other) return;
        if (!loaded) {
          state_.beside.reset();
          return calls_.say(loaded.error().message, true);
        }
        beside_ = std::move(loaded).value();
        MakeLines();
      });
}

void FairDesk::ListNext() {
  std::vector<ReviewId> seen;
  for (const ReviewLine& line : ReviewLines(open_.view->reviews, open_.view->review, open_.view->hidden))
    if (line.door == ReviewDoor::kOpen) seen.push_back(line.id);
  if (seen.empty())
    return calls_.say("There is no other review of this case that may be seen beside this one.", false);
  const auto listed = std::find(seen.begin(), seen.end(), state_.beside.value_or(ReviewId{}));
  ListDifferences(listed == seen.end() || listed + 1 == seen.end() ? seen.front() : *(listed + 1));
}

void FairDesk::MakeLines() {
  lines_revision_ = open_.view->revision;
  const ReviewNames names = Names();
  state_.differences = DifferenceLines(DifferencesBetween(open_.view->review, beside_->review, open_.clock),
                                       open_.clock, *open_.steps, names);
  auto findings = FindingDifferences(*open_.findings, beside_->findings, *open_.labels, names);
  std::move(findings.begin(), findings.end(), std::back_inserter(state_.differences));
  if (state_.at && *state_.at >= state_.differences.size()) state_.at.reset();
}

void FairDesk::GoTo(std::size_t difference) {
  if (difference >= state_.differences.size()) return;
  state_.at = difference;
  if (const auto at = state_.differences[difference].at) calls_.jump(*at);
}

void FairDesk::Step(int direction) {
  const auto count = static_cast<std::ptrdiff_t>(state_.differences.size());
  if (count == 0)
    return calls_.say("No differences are listed: choose them in the sheet of the review.", false);
  const std::ptrdiff_t from =
      state_.at ? static_cast<std::ptrdiff_t>(*state_.at) : (direction > 0 ? -1 : count);
  const std::ptrdiff_t to = from + direction;
  if (to < 0 || to >= count) return calls_.say("There is no further difference.", false);
  GoTo(static_cast<std::size_t>(to));
  turned_ = true;
}

}  // namespace afterscope
