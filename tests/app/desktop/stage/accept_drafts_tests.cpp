// SPDX-License-Identifier: Apache-2.0
// Drafts of a narration, in the real window without a display.
#include "annotate/store/case_session.hpp"
#include "tests/app/desktop/stage/stage_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("A follow-up of a narration that is accepted in the window is planned", "[window][narration]") {
  const TemporaryFolder folder;
  CaseRecord made;
  made.date = "2026-01-01";
  made.recordings.resize(1);
  made.recordings[0].shape.end = Pts{60'000};
  REQUIRE(CaseSession::Create(folder / "X-1", made).ok());
  {
    const auto session = CaseSession::Open(folder / "X-1", {});
    REQUIRE(session.ok());
    Draft draft;
    draft.id = (*session)->NewDraftId();
    draft.kind = DraftKind::kFollowUp;
    draft.start = {0, Pts{1000}};
    draft.fields = {{"from_days", "60"}, {"to_days", "90"}};
    draft.words = "It may need a laser after two to three months.";
    REQUIRE((*session)->Commit({"Draft", {Put<Draft>{draft}}}).ok());
  }
  const auto stage = Stage::Make(1280, 720);
  REQUIRE(stage);
  stage->Open({folder / "X-1"});
  REQUIRE(stage->DrawUntil([&] { return !stage->app().view().review.drafts.empty(); }));
  stage->Press("Shift+F4");
  REQUIRE(stage->Settle());
  stage->Press("M");
  REQUIRE(stage->DrawUntil([&] { return !stage->app().view().record.extra.empty(); }, 10));
  CHECK(stage->app().view().record.extra.at("follow_up.narration") == "2026-03-02 to 2026-04-01");
  CHECK(stage->app().view().review.moments.size() == 1);
}

}  // namespace afterscope
