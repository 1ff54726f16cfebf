// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/blinding.hpp"
#include "annotate/case/signing.hpp"
#include "annotate/media/digest.hpp"
#include "annotate/store/case_check.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/journal.hpp"
#include "tests/annotate/case/case_support.hpp"
#include "tests/annotate/store/fault_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <filesystem>
#include <map>

namespace afterscope {
namespace {

std::unique_ptr<CaseSession> OpenedToSign(const std::string& folder, const OpenCaseOptions& options = {}) {
  auto session = CaseSession::Open(folder, options);
  INFO((session.ok() ? "" : session.error().message));
  REQUIRE(session.ok());
  return std::move(*session);
}

OpenCaseOptions For(const char* review, const char* reviewer, NewReview fresh = {}) {
  OpenCaseOptions options;
  if (*review) options.review = ReviewId{review};
  options.reviewer_code = reviewer;
  options.new_review = fresh;
  return options;
}

Status Remark(CaseSession& session, const std::string& text) {
  return session.Commit(
      {"Remark", {Put<Moment>{{session.NewMomentId(), At(10), MomentKind::kRemark, "", text, {}}}}});
}

// Every file under a folder, with its bytes.
std::map<std::string, std::string> FilesUnder(const std::string& folder) {
  std::map<std::string, std::string> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder))
    if (entry.is_regular_file())
      files[entry.path().string()] = RealFileSystem().ReadAll(entry.path().string(), 1 << 30).value();
  return files;
}

std::vector<std::string> WrongWith(const std::string& folder) {
  return CheckCase(folder, false, {}, {}).wrong;
}

void Replace(const std::string& path, const std::string& from, const std::string& to) {
  std::string text = RealFileSystem().ReadAll(path, 1 << 30).value();
  REQUIRE(text.find(from) != std::string::npos);
  text.replace(text.find(from), from.size(), to);
  REQUIRE(ReplaceFile(RealFileSystem(), path, text).ok());
}

bool HasNote(const std::string& folder, const std::string& part) {
  const std::vector<std::string> notes = CheckCase(folder, false, {}, {}).notes;
  return std::any_of(notes.begin(), notes.end(),
                     [&](const std::string& note) { return note.find(part) != std::string::npos; });
}

// Changes words in a review's journal alone, and closes it as a scrub does.
void ScrubByHand(const std::string& review, const std::string& from, const std::string& to) {
  const std::string path = review + "/journal";
  const JournalContent content = ReadJournal(RealFileSystem().ReadAll(path, 1 << 20).value());
  std::string bytes;
  std::string head;
  for (JournalLine line : content.lines) {
    if (const auto at = line.text.find(from); at != std::string::npos) line.text.replace(at, from.size(), to);
    Json json = Json::parse(line.text);
    json["previous"] = head;
    line.text = CompactText(json);
    line.digest = head = Sha256Hex(line.text);
    bytes += FileText(line);
  }
  const JournalLine& last = content.lines.back();
  const Json members{{"kind", "scrub"}, {"previous_head", last.digest}, {"entries", Json::array({2})}};
  bytes += FileText(MakeJournalLine(last.entry + 1, last.order, head, members));
  REQUIRE(ReplaceFile(RealFileSystem(), path, bytes).ok());
  std::filesystem::remove(review + "/review.json");
}

struct SignedCase {
  TemporaryFolder folder;
  std::string path = folder / "case";
  SignedCase() {
    REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
    auto session = OpenedToSign(path, For("r1", "m1"));
    REQUIRE(
        session->Commit({"Trail", {Put<Trail>{{{"t1"}, "forceps", "main", {{At(10), {1, 2}, {}, 1}}, {}}}}})
            .ok());
    REQUIRE(Remark(*session, "well done").ok());
    REQUIRE(session->Sign("").ok());
  }
  std::string review() const { return path + "/reviews/r1"; }
};

}  // namespace

TEST_CASE("Signing seals a review: its folder stays byte for byte whatever follows", "[store][signing]") {
  const SignedCase made;
  const auto sealed = FilesUnder(made.review());
  CHECK(WrongWith(made.path).empty());
  {
    auto session = OpenedToSign(made.path);
    CHECK(session->review().is_signed);
    CHECK(session->review().signature.by == "m1");
    CHECK(session->UndoLabel().empty());
    CHECK_FALSE(session->Undo().ok());
    CHECK_FALSE(session->Sign("").ok());
    CHECK_FALSE(Remark(*session, "more").ok());
    // The case's own fields, answers and what was recognised go on beside it, with undo.
    REQUIRE(session->Commit({"Eye", {SetCaseField{"eye", "left"}}}).ok());
    const auto answer = AnswerReview(session->record(), {"r1"}, {"t1", "2026-11-26", "I see it differently"});
    REQUIRE(answer.ok());
    REQUIRE(session->Commit(*answer).ok());
    REQUIRE(session->Undo().ok());
    CHECK(FindSigned(session->record(), {"r1"})->answers.empty());
    REQUIRE(session->Redo().ok());
    const auto next = session->BeginNextVersion();
    REQUIRE(next.ok());
    CHECK(session->BeginNextVersion().value() == *next);
  }
  {
    auto session = OpenedToSign(made.path);
    CHECK(session->review().version == 2);
    CHECK(session->review().version_of == ReviewId{"r1"});
    CHECK(session->review().trails.at(0).points.size() == 1);
    CHECK_FALSE(session->review().is_signed);
    CHECK_FALSE(session->Commit({"Kind", {SetReviewField{"kind", "formal"}}}).ok());
    REQUIRE(Remark(*session, "seen again").ok());
    REQUIRE(session->Sign("m1").ok());
    CHECK(session->Summaries().size() == 2);
    CHECK(session->ReadReview({"r1"})->moments.size() == 1);
  }
  CHECK(FilesUnder(made.review()) == sealed);
  CHECK(WrongWith(made.path).empty());
  CHECK(FindSigned(OpenedToSign(made.path)->record(), {"r1"})->answers.at(0).by == "t1");
}

TEST_CASE("Without a wish the unsigned review that was begun last is opened, not the one edited last",
          "[store][signing]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  REQUIRE(Remark(*OpenedToSign(path, For("r1", "m1")), "first").ok());
  REQUIRE(Remark(*OpenedToSign(path, For("r2", "m1")), "second").ok());
  {
    const auto first = OpenedToSign(path, For("r1", "m1"));
    for (const char* words : {"more", "and more"}) REQUIRE(Remark(*first, words).ok());
  }
  CHECK(OpenedToSign(path, For("", "m1"))->review().id == ReviewId{"r2"});
  REQUIRE(OpenedToSign(path, For("r2", "m1"))->Sign("m1").ok());
  CHECK(OpenedToSign(path, For("", "m1"))->review().id == ReviewId{"r1"});
}

TEST_CASE("A review is signed by its reviewer, once it holds something, and only so", "[store][signing]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  auto session = OpenedToSign(path);
  CHECK_FALSE(session->Sign("m1").ok());
  REQUIRE(Remark(*session, "one").ok());
  CHECK_FALSE(session->Sign("").ok());
  CHECK_FALSE(session->BeginNextVersion().ok());
  CHECK_FALSE(session->Commit({"", {SetSignature{Signature{"m1", "2026-11-26T00:00:00Z", 1}}}}).ok());
  CHECK_FALSE(session->Commit({"", {Put<SignedReview>{{{"r1"}, "seal", {}, {}}}}}).ok());
  // That the review has a reviewer does not say that he signs.
  REQUIRE(session->Commit({"Reviewer", {SetReviewField{"reviewer_code", "m1"}}}).ok());
  session.reset();
  session = OpenedToSign(path);
  CHECK_FALSE(session->Sign("").ok());
  CHECK_FALSE(session->Sign("m2").ok());
  REQUIRE(session->Sign("m1").ok());
  CHECK(session->review().reviewer_code == "m1");
  SignedReview kept = *FindSigned(session->record(), {"r1"});
  kept.seal = "another";
  CHECK_FALSE(session->Commit({"", {Put<SignedReview>{kept}}}).ok());
  CHECK_FALSE(session->Commit({"", {Remove<ReviewId>{{"r1"}}}}).ok());
  CHECK_FALSE(AnswerReview(session->record(), {"r1"}, {"t1", "", "  "}).ok());
}

TEST_CASE("A check finds a signed review that was changed, replaced or taken away", "[store][signing]") {
  const SignedCase made;
  SECTION("its readable copy, with a digest that fits") {
    const std::string file = made.review() + "/review.json";
    Replace(file, "well done", "badly done");
    std::string text = RealFileSystem().ReadAll(file, 1 << 20).value();
    text.resize(text.rfind(",\n  \"digest\""));
    REQUIRE(ReplaceFile(RealFileSystem(), made.folder / "head", text).ok());
    // The digest by a program that is not ours.
    REQUIRE(
        std::system(("cd " + made.folder.path() +
                     " && printf ',\\n  \"digest\": \"%s\"\\n}\\n' $(sha256sum head | cut -c1-64) > tail && "
                     "cat head tail > " +
                     file)
                        .c_str()) == 0);
  }
  SECTION("its journal, cut before it was signed") {
    std::string text = RealFileSystem().ReadAll(made.review() + "/journal", 1 << 20).value();
    text.resize(text.rfind('\n', text.size() - 2) + 1);
    REQUIRE(ReplaceFile(RealFileSystem(), made.review() + "/journal", text).ok());
    std::filesystem::remove(made.review() + "/review.json");
  }
  SECTION("another review in its place, whole in itself") {
    const SignedCase other;
    std::filesystem::remove_all(made.review());
    std::filesystem::copy(other.review(), made.review(), std::filesystem::copy_options::recursive);
  }
  SECTION("gone") { std::filesystem::remove_all(made.review()); }
  CHECK_FALSE(WrongWith(made.path).empty());
}

TEST_CASE("A formal review whose history was lost is told, a formative one is not", "[store][signing]") {
  for (const ReviewKind kind : {ReviewKind::kFormal, ReviewKind::kFormative}) {
    const TemporaryFolder folder;
    const std::string path = folder / "case";
    REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
    {
      auto session = OpenedToSign(path, For("r1", "m1", {kind, false, {}}));
      REQUIRE(Remark(*session, "one").ok());
    }
    std::filesystem::remove(path + "/reviews/r1/journal");
    CHECK_FALSE(OpenedToSign(path)->cautions().empty());  // recovered from the readable copy
    CHECK(WrongWith(path).empty() == (kind == ReviewKind::kFormative));
  }
}

TEST_CASE("A scrub of a signed review keeps its seal good", "[store][signing]") {
  const SignedCase made;
  {
    auto session = OpenedToSign(made.path);
    REQUIRE(session->BeginNextVersion().ok());
    CHECK(session->Scrub("WELL").value() > 0);
    CHECK(session->Scrub("done").value() > 0);
  }
  CHECK(WrongWith(made.path).empty());
  const auto session = OpenedToSign(made.path, For("r1", ""));
  CHECK(session->review().moments.at(0).text == "[scrubbed] [scrubbed]");
  CHECK(session->review().is_signed);
  CHECK(HasNote(made.path, "was scrubbed after signing, as the case's journal says"));
}

TEST_CASE(
    "What is said of a scrub in a signed review's journal counts only as far as the case vouches for it",
    "[store][signing][scrub]") {
  const SignedCase made;
  const std::string note = "nothing in the case's journal vouches for it";
  SECTION("by hand, or by a version before this one") {
    ScrubByHand(made.review(), "well done", "badly done");
    CHECK(WrongWith(made.path).empty());
    CHECK(HasNote(made.path, note));
    // What follows is vouched for, and what came before still is not.
    CHECK(OpenedToSign(made.path)->Scrub("done").value() > 0);
    CHECK(WrongWith(made.path).empty());
    CHECK(HasNote(made.path, note));
  }
  SECTION("by hand, after a scrub that the case has") {
    CHECK(OpenedToSign(made.path)->Scrub("well").value() > 0);
    CHECK_FALSE(HasNote(made.path, note));
    ScrubByHand(made.review(), "done", "never");
    CHECK(WrongWith(made.path).size() == 1);
  }
}

TEST_CASE("A next version may be begun from a signed review that was scrubbed", "[store][signing][scrub]") {
  const SignedCase made;
  auto session = OpenedToSign(made.path);
  CHECK(session->Scrub("well").value() > 0);
  REQUIRE(session->BeginNextVersion().ok());
  CHECK(session->Scrub("done").value() > 0);
  session.reset();
  CHECK(WrongWith(made.path).empty());
}

// The case vouches first, so that at no time a review is other than the case says.
TEST_CASE("A program that ends while a signed review is scrubbed leaves it old or new, and sealed",
          "[store][signing][scrub][crash]") {
  int olds = 0;
  int news = 0;
  for (int n = 1;; ++n) {
    MemoryFiles files;
    REQUIRE(CaseSession::Create("/memory/case", TwoRecordings(), files).ok());
    {
      const auto session = CaseSession::Open("/memory/case", For("r1", "m1"), files);
      REQUIRE(Remark(**session, "well done").ok());
      REQUIRE((*session)->Sign("").ok());
    }
    bool ended = false;
    {
      WatchedFiles watched(files, [&](int call, const std::string& what) -> Status {
        if (call < n) return {};
        ended = true;
        return Error{ErrorCode::kUnwritable, what + ": the program has ended."};
      });
      const auto session = CaseSession::Open("/memory/case", For("r1", "m1"), watched);
      if (session.ok() && !(*session)->read_only()) static_cast<void>((*session)->Scrub("well"));
    }
    std::mt19937 random(1);
    const auto after = files.AfterPowerLoss([] { return false; }, random);
    INFO("ended at call " << n);
    for (const bool again : {false, true}) {
      const auto session = CaseSession::Open("/memory/case", For("r1", "m1"), *after);
      REQUIRE(session.ok());
      if (again) REQUIRE((*session)->Scrub("well").ok());
      const std::string text = (*session)->review().moments.at(0).text;
      if (text == "well done")
        ++olds;
      else
        ++news;
      CHECK((text == "[scrubbed] done" || (text == "well done" && !again)));
      const CaseCheck check = CheckCase("/memory/case", false, {}, {}, *after);
      CHECK(check.wrong.empty());
      for (const std::string& said : check.notes) CHECK(said.find("vouches") == std::string::npos);
    }
    if (!ended) break;
  }
  CHECK(olds > 3);
  CHECK(news > 3);
}

TEST_CASE("Each reviewer gets his own review, and nobody another's by default", "[store][signing]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  REQUIRE(Remark(*OpenedToSign(path, For("", "t1", {{}, true, {}})), "how I saw it").ok());
  auto mentor = OpenedToSign(path, For("", "m1", {ReviewKind::kFormal, false, Blinding::kBlinded}));
  CHECK(mentor->review().id == ReviewId{"r2"});
  CHECK(mentor->review().moments.empty());
  REQUIRE(Remark(*mentor, "how it was").ok());
  mentor.reset();
  REQUIRE(Remark(*OpenedToSign(path, For("", "m2")), "a third view").ok());
  CHECK(OpenedToSign(path, For("", "m1"))->review().moments.at(0).text == "how it was");
  CHECK(OpenedToSign(path, For("", "m1"))->review().kind == ReviewKind::kFormal);
  CHECK(OpenedToSign(path)->review().id == ReviewId{"r3"});
  NewReview self;
  self.is_self = true;
  CHECK(OpenedToSign(path, For("", "", self))->review().id == ReviewId{"r1"});
  // Blinding can be lifted, which is a fact that undo passes over.
  auto blind = OpenedToSign(path, For("r2", "m1"));
  CHECK(IsBlind(blind->review()));
  CHECK_FALSE(blind->Commit({"", {SetReviewField{"blinding", "open"}}}).ok());
  REQUIRE(blind->Commit({"", {SetReviewField{"blinding", "lifted"}}}).ok());
  REQUIRE(blind->Undo().ok());
  CHECK(blind->review().blinding == Blinding::kLifted);
  CHECK(blind->review().moments.empty());
}

// The case's own note of the seal comes after the signature; a program that ends between leaves it to the
// next.
TEST_CASE("A program that ends while signing leaves the review signed or not, and the case sound",
          "[store][signing][crash]") {
  int points = 0;
  for (int n = 1;; ++n) {
    MemoryFiles files;
    {
      REQUIRE(CaseSession::Create("/memory/case", TwoRecordings(), files).ok());
      REQUIRE(Remark(**CaseSession::Open("/memory/case", For("r1", "m1"), files), "one").ok());
    }
    bool ended = false;
    {
      WatchedFiles watched(files, [&](int call, const std::string& what) -> Status {
        if (call < n) return {};
        ended = true;
        return Error{ErrorCode::kUnwritable, what + ": the program has ended."};
      });
      const auto session = CaseSession::Open("/memory/case", For("r1", "m1"), watched);
      if (session.ok() && !(*session)->read_only()) {
        const bool acknowledged = (*session)->Sign("").ok();
        if (acknowledged) CHECK((*session)->review().is_signed);
      }
    }
    ++points;
    std::mt19937 random(1);
    const auto after = files.AfterPowerLoss([] { return false; }, random);
    {
      const auto session = CaseSession::Open("/memory/case", For("r1", "m1"), *after);
      REQUIRE(session.ok());
      const bool is_signed = (*session)->review().is_signed;
      CHECK((FindSigned((*session)->record(), {"r1"}) != nullptr) == is_signed);
      if (!ended) CHECK(is_signed);
    }
    INFO("ended at call " << n);
    CHECK(CheckCase("/memory/case", false, {}, {}, *after).wrong.empty());
    if (!ended) break;
  }
  CHECK(points > 8);
}

}  // namespace afterscope
