// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/earlier_cases.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/annotate/case/case_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <filesystem>

namespace afterscope {
namespace {

struct Made {
  const char* name;
  const char* operator_code;
  const char* date;
  const char* step;  // tagged in the first lane; empty: nothing
  bool recording = true;
  Blinding blinding = Blinding::kOpen;
  int lane = 0;
};

void Make(const TemporaryFolder& folder, const Made& made) {
  CaseRecord record = TwoRecordings();
  record.code = made.name;
  record.date = made.date;
  record.operator_code = made.operator_code;
  for (RecordingRef& ref : record.recordings) ref.path = made.recording ? "x.mp4" : "";
  REQUIRE(CaseSession::Create(folder / made.name, record).ok());
  OpenCaseOptions options;
  options.new_review.blinding = made.blinding;
  auto session = CaseSession::Open(folder / made.name, options);
  REQUIRE(session.ok());
  if (*made.step == '\0') return;
  const StepVisit visit{(*session)->NewVisitId(), made.step, made.lane, At(1000), At(2000), "", false};
  REQUIRE((*session)->Commit({"Step", {Put<StepVisit>{visit}}}).ok());
}

CaseRecord Now(const char* operator_code = "T1", const char* date = "2026-06-01") {
  CaseRecord record;
  record.operator_code = operator_code;
  record.date = date;
  return record;
}

}  // namespace

TEST_CASE("The earlier case is the operator's own newest one before with that step and a recording",
          "[jobs]") {
  const TemporaryFolder folder;
  for (const Made& made :
       {Made{"old", "T1", "2026-01-01", "rhexis"}, Made{"newer", "T1", "2026-03-01", "rhexis"},
        Made{"other-step", "T1", "2026-04-01", "lens"},
        Made{"other-hand", "T1", "2026-04-02", "rhexis", true, Blinding::kOpen, 1},
        Made{"no-recording", "T1", "2026-04-03", "rhexis", false},
        Made{"other-operator", "T2", "2026-05-01", "rhexis"}, Made{"same-day", "T1", "2026-06-01", "rhexis"},
        Made{"later", "T1", "2026-07-01", "rhexis"}, Made{"no-date", "T1", "", "rhexis"},
        Made{"untagged", "T1", "2026-05-05", ""}})
    Make(folder, made);
  CHECK(EarlierCaseWithStep(Now(), {folder.path()}, "rhexis", {}, {}) == folder / "newer");
  CHECK(EarlierCaseWithStep(Now("T1", "2026-02-01"), {folder.path()}, "rhexis", {}, {}) == folder / "old");
  CHECK(EarlierCaseWithStep(Now(), {folder / "old"}, "rhexis", {}, {}) ==
        folder / "old");  // the folder is one itself
  CHECK(EarlierCaseWithStep(Now(), {folder.path()}, "cortex", {}, {}).empty());
  CHECK(EarlierCaseWithStep(Now(""), {folder.path()}, "rhexis", {}, {}).empty());
  CHECK(EarlierCaseWithStep(Now("T1", ""), {folder.path()}, "rhexis", {}, {}).empty());
  CHECK(EarlierCaseWithStep(Now(), {folder / "nowhere"}, "rhexis", {}, {}).empty());
  CHECK(EarlierCaseWithStep(Now(), {folder.path()}, "rhexis", {}, [] { return true; }).empty());
}

TEST_CASE("A case that is reviewed blinded is no earlier case", "[jobs]") {
  const TemporaryFolder folder;
  Make(folder, {"blind", "T1", "2026-03-01", "rhexis", true, Blinding::kBlinded});
  CHECK(EarlierCaseWithStep(Now(), {folder.path()}, "rhexis", {}, {}).empty());
  CHECK(FindEarlierCases(Now(), ReviewKind::kFormative, {folder.path()}, {}, {}).cases.empty());
  Make(folder, {"open", "T1", "2026-02-01", "rhexis"});
  CHECK(EarlierCaseWithStep(Now(), {folder.path()}, "rhexis", {}, {}) == folder / "open");
  CHECK(FindEarlierCases(Now(), ReviewKind::kFormative, {folder.path()}, {}, {}).cases.size() == 1);
}

}  // namespace afterscope
