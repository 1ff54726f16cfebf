// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/tagging.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/annotate/case/case_support.hpp"
#include "tests/annotate/store/fault_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <random>

namespace afterscope {
namespace {

std::unique_ptr<CaseSession> Opened(const std::string& folder, const OpenCaseOptions& options = {}) {
  auto session = CaseSession::Open(folder, options);
  INFO((session.ok() ? "" : session.error().message));
  REQUIRE(session.ok());
  return std::move(*session);
}

EditGroup Remark(CaseSession& session, std::int64_t ticks, const std::string& text) {
  return {"Remark", {Put<Moment>{{session.NewMomentId(), At(ticks), MomentKind::kRemark, "", text, {}}}}};
}

std::string Bytes(const std::string& path) { return RealFileSystem().ReadAll(path, 1 << 30).value(); }

}  // namespace

TEST_CASE("What was committed is there when the case is opened again", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  CHECK_FALSE(CaseSession::Create(path, TwoRecordings()).ok());
  CaseRecord record;
  Review review;
  {
    auto session = Opened(path, {{}, "rev-1", false});
    CHECK(session->record() == TwoRecordings());
    CHECK(session->cautions().empty());
    std::mt19937 random(7);
    int done = 0;
    while (done < 60) done += session->Commit(RandomGroup(random)).ok() ? 1 : 0;
    record = session->record();
    review = session->review();
    CHECK(session->revision() >= 60);
  }
  auto session = Opened(path);
  CHECK(session->cautions().empty());
  CHECK(session->record() == record);
  CHECK(session->review() == review);
  CHECK(session->review().reviewer_code == "rev-1");
  CHECK(session->Reviews().size() == 1);
}

TEST_CASE("Undo and redo go on across restarts, over both journals", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  std::vector<std::pair<CaseRecord, Review>> states;
  std::mt19937 random(11);
  {
    auto session = Opened(path);
    states.emplace_back(session->record(), session->review());
    while (states.size() < 40) {
      // Only groups that are wholly the case's or the review's are committed.
      if (session->Commit(RandomGroup(random)).ok())
        states.emplace_back(session->record(), session->review());
    }
  }
  for (std::size_t i = states.size() - 1; i-- > 0;) {
    auto session = Opened(path);
    REQUIRE(session->UndoLabel() == "Random");
    REQUIRE(session->Undo().ok());
    CHECK(session->record() == states[i].first);
    CHECK(session->review() == states[i].second);
  }
  CHECK(Opened(path)->UndoLabel().empty());
  CHECK_FALSE(Opened(path)->Undo().ok());
  for (std::size_t i = 1; i < states.size(); ++i) {
    auto session = Opened(path);
    REQUIRE(session->Redo().ok());
    CHECK(session->record() == states[i].first);
    CHECK(session->review() == states[i].second);
  }
  auto session = Opened(path);
  CHECK_FALSE(session->Redo().ok());
  REQUIRE(session->Undo().ok());
  REQUIRE(session->Commit(Remark(*session, 10, "new")).ok());
  CHECK(session->RedoLabel().empty());
}

TEST_CASE("A second program gets the case read-only and says so", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  auto first = Opened(path);
  REQUIRE(first->Commit(Remark(*first, 10, "one")).ok());
  auto second = Opened(path);
  CHECK(second->read_only());
  REQUIRE(second->cautions().size() == 1);
  CHECK(second->cautions()[0].find("another program") != std::string::npos);
  CHECK(second->review().moments.size() == 1);
  CHECK(second->Commit(Remark(*second, 20, "two")).error().code == ErrorCode::kUnwritable);
  CHECK(second->review().moments.size() == 1);
  first.reset();
  CHECK_FALSE(Opened(path)->read_only());
}

TEST_CASE("Where only the readable copies can't be renewed, the case can still be changed", "[store]") {
  MemoryFiles files;
  REQUIRE(CaseSession::Create("/memory/case", TwoRecordings(), files).ok());
  REQUIRE(files.Remove("/memory/case/case.json").ok());  // a checkpoint that is behind
  // The disk takes no new files, but what is there can be written.
  WatchedFiles full(files, [](int, const std::string& what) -> Status {
    if (what != "create") return {};
    return Error{ErrorCode::kUnwritable, "Can't create a file: no space left."};
  });
  auto session = CaseSession::Open("/memory/case", {}, full);
  REQUIRE(session.ok());
  CHECK_FALSE((*session)->read_only());
  REQUIRE((*session)->cautions().size() == 1);
  CHECK((*session)->Commit({"Eye", {SetCaseField{"eye", "left"}}}).ok());
  session->reset();
  CHECK(CaseSession::Open("/memory/case", {}, files).value()->record().eye == Eye::kLeft);
}

TEST_CASE("Facts are kept but not undone", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  auto session = Opened(path);
  REQUIRE(session->Commit(Remark(*session, 10, "one")).ok());
  std::vector<RecordingRef> recordings = session->record().recordings;
  recordings[0].shape.end = Pts{60040};
  REQUIRE(session->CommitFacts({"Frame table verified", {SetRecordings{recordings}}}).ok());
  REQUIRE(session->Undo().ok());
  CHECK(session->review().moments.empty());
  CHECK(session->record().recordings[0].shape.end == Pts{60040});
  session.reset();
  session = Opened(path);
  CHECK(session->record().recordings[0].shape.end == Pts{60040});
  CHECK(session->UndoLabel().empty());
  CHECK(session->RedoLabel() == "Remark");
}

TEST_CASE("Reviews are kept apart, case fields are shared", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  {
    auto first = Opened(path, {ReviewId{"first"}, "a", false});
    REQUIRE(first->Commit(Remark(*first, 10, "one")).ok());
    REQUIRE(first->Commit({"Eye", {SetCaseField{"eye", "left"}}}).ok());
  }
  {
    auto second = Opened(path, {ReviewId{"second"}, "b", false});
    CHECK(second->review().moments.empty());
    CHECK(second->record().eye == Eye::kLeft);
    CHECK(second->UndoLabel().empty());  // another's change is not this reviewer's to undo
    REQUIRE(second->Commit(Remark(*second, 10, "two")).ok());
  }
  CHECK(Opened(path)->review().id.value == "second");
  CHECK(Opened(path)->Reviews().size() == 2);
  CHECK(CaseSession::Open(path, {ReviewId{"../x"}, "", false}).error().code == ErrorCode::kBadCall);
}

TEST_CASE("A review that is not there can't be read", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  const auto none = CaseSession::Open(path, {ReviewId{"r7"}, "", true});
  REQUIRE_FALSE(none.ok());
  CHECK(none.error().code == ErrorCode::kBadCall);
  CHECK(none.error().message.ends_with("has no review 'r7'."));
  CHECK(CaseSession::Open(path, {{}, "", true}).ok());
}

TEST_CASE("What another review changed since is not undone, and what was done before it still can be",
          "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  const OpenCaseOptions first{ReviewId{"first"}, "a", false}, second{ReviewId{"second"}, "b", false};
  {
    const auto session = Opened(path, first);
    REQUIRE(session->Commit(Remark(*session, 10, "one")).ok());
    REQUIRE(session->Commit({"Operator", {SetCaseField{"operator_code", "op1"}}}).ok());
    REQUIRE(session->Commit({"Eye", {SetCaseField{"eye", "left"}}}).ok());
  }
  REQUIRE(Opened(path, second)->Commit({"Operator", {SetCaseField{"operator_code", "op2"}}}).ok());
  const auto session = Opened(path, first);
  REQUIRE(session->Undo().ok());
  CHECK(session->record().eye == Eye::kUnknown);
  const Status refused = session->Undo();
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.error().code == ErrorCode::kBadCall);
  CHECK(session->record().operator_code == "op2");
  CHECK(session->UndoLabel() == "Remark");
  REQUIRE(session->Undo().ok());
  CHECK(session->review().moments.empty());
  REQUIRE(session->Redo().ok());
  REQUIRE(session->Redo().ok());
  CHECK(session->record().eye == Eye::kLeft);
  CHECK(session->RedoLabel().empty());
}

TEST_CASE("Scrubbed text is gone from every file and the chain still verifies", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  CaseRecord record = TwoRecordings();
  record.extra["note"] = "Frau MUSTER, left eye";
  REQUIRE(CaseSession::Create(path, record).ok());
  auto session = Opened(path);
  REQUIRE(session->Commit(Remark(*session, 10, "as with muster before")).ok());
  REQUIRE(session->Commit(Remark(*session, 20, "nothing")).ok());
  REQUIRE(session->Commit({"Extra", {SetCaseField{"extra.Muster", "x"}}}).ok());
  REQUIRE(session->Commit({"Extra", {SetCaseField{"extra.note", ""}}}).ok());
  REQUIRE(session->Undo().ok());
  REQUIRE(session->Scrub("Muster").ok());
  CHECK(session->cautions().empty());
  CHECK(session->record().extra.at("note") == "Frau [scrubbed], left eye");
  CHECK(session->review().moments[0].text == "as with [scrubbed] before");
  CHECK(session->RedoLabel() == "Extra");
  CHECK(session->Scrub("x").error().code == ErrorCode::kBadCall);
  CHECK(session->Scrub("kind").ok());  // the record's own words stay
  session.reset();
  for (const auto& entry : std::filesystem::recursive_directory_iterator(path)) {
    if (!entry.is_regular_file()) continue;
    std::string bytes = Bytes(entry.path().string());
    for (char& c : bytes) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    INFO(entry.path());
    CHECK(bytes.find("muster") == std::string::npos);
  }
  session = Opened(path);
  CHECK(session->cautions().empty());
  CHECK(session->review().moments.size() == 2);
  REQUIRE(session->Undo().ok());
}

TEST_CASE("What a newer version added survives, and a newer major version opens read-only", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  {
    auto session = Opened(path);
    REQUIRE(session->Commit(Remark(*session, 10, "one")).ok());
  }
  // A checkpoint as a newer minor version would write it: unknown members, its own digest.
  const std::string file = path + "/reviews/r1/review.json";
  std::string text = Bytes(file);
  const auto write_changed = [&](const std::string& from, const std::string& to) {
    std::string changed = text;
    changed.replace(changed.find(from), from.size(), to);
    std::filesystem::copy_file(file, folder / "in.json", std::filesystem::copy_options::overwrite_existing);
    changed.resize(changed.rfind(",\n  \"digest\""));
    REQUIRE(ReplaceFile(RealFileSystem(), folder / "head", changed).ok());
    // The digest by a program that is not ours.
    REQUIRE(std::system(("cd " + folder.path() +
                         " && printf ',\\n  \"digest\": \"%s\"\\n}\\n' $(sha256sum head | cut -c1-64) "
                         "> tail && cat head tail > " +
                         file)
                            .c_str()) == 0);
  };
  write_changed("\"text\":\"one\"", "\"text\":\"one\",\"mood\":\"calm\"");
  {
    auto session = Opened(path);
    CHECK(session->cautions().empty());
    REQUIRE(session->Commit(Remark(*session, 20, "two")).ok());
  }
  CHECK(Bytes(file).find("\"mood\":\"calm\"") != std::string::npos);
  text = Bytes(file);
  write_changed("\"version\": \"1.2\"", "\"version\": \"2.0\"");
  auto session = Opened(path);
  CHECK(session->read_only());
  CHECK(session->review().moments.size() == 2);
  REQUIRE_FALSE(session->cautions().empty());
  CHECK(session->cautions()[0].find("newer version") != std::string::npos);
}

TEST_CASE("A case is not made over one that another program made a moment before", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  CaseRecord first = TwoRecordings();
  first.code = "first";
  WatchedFiles watched(RealFileSystem(), [&](int, const std::string& call) -> Status {
    if (call == "lock") CHECK(CaseSession::Create(path, first).ok());
    return {};
  });
  CHECK_FALSE(CaseSession::Create(path, TwoRecordings(), watched).ok());
  CHECK(Opened(path)->record().code == "first");
}

}  // namespace afterscope
