// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_session.hpp"
#include "app/common/assets.hpp"
#include "app/desktop/clips/share_list.hpp"
#include "app/desktop/desk/word_list.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("The list before sharing says what is known of the clip", "[clips]") {
  CaseRecord record;
  record.code = "K1";
  Review review;
  ClipPlan plan;
  plan.parts.resize(2);
  OtherCovers others;
  const ShareFacts facts{record, review, others, plan, "local teaching", "2026-05-01"};
  CHECK(KnownOf("consent", facts).find("no consent") != std::string::npos);
  CHECK(KnownOf("covers", facts) == "No cover is set in any review of this case.");
  CHECK(KnownOf("sound", facts) == "The recordings’ sound is muted in all parts.");
  CHECK(KnownOf("law", facts).empty());

  record.consent = {{"local teaching", true, false, ""}};
  Mark cover;
  cover.kind = MarkKind::kCover;
  review.marks = {cover};
  plan.parts[1].sound = ClipSound::kOriginal;
  plan.parts[0].text = "Rhexis";
  review.captions.resize(3);
  CHECK(KnownOf("consent", facts) == "The case notes the consent for local teaching.");
  CHECK(KnownOf("covers", facts) == "1 cover will be burnt in.");
  CHECK(KnownOf("sound", facts) == "1 part keeps its sound.");
  CHECK(KnownOf("names", facts) == "Titles: 1. Captions of the narration: 3 in the case.");
}

TEST_CASE("The list before sharing counts the covers of all reviews of the case", "[clips]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  CaseRecord made;
  made.recordings.resize(1);
  made.recordings[0].shape.end = Pts{60'000};
  made.recordings[0].shape.width = made.recordings[0].shape.height = 100;
  REQUIRE(CaseSession::Create(path, made).ok());
  const auto cover_in = [&](const char* review) {
    const auto session = CaseSession::Open(path, {ReviewId{review}, review, false});
    REQUIRE(session.ok());
    Mark cover;
    cover.id = (*session)->NewMarkId();
    cover.at = {0, Pts{0}};
    cover.kind = MarkKind::kCover;
    cover.points = {{0, 0}, {5, 5}};
    REQUIRE((*session)->Commit({"Cover", {Put<Mark>{cover}}}).ok());
  };
  const auto said = [&](const char* id) {
    Review review;
    review.id = ReviewId{id};
    if (const auto session = CaseSession::Open(path, {review.id, "", true}); session.ok())
      review = (*session)->review();
    const CaseRecord record;
    const OtherCovers others = CoversOfOthers(path, review);
    const ClipPlan plan;
    return KnownOf("covers", {record, review, others, plan, "review", ""});
  };
  CHECK(said("r9") == "No cover is set in any review of this case.");
  cover_in("r1");
  CHECK(said("r1") == "1 cover will be burnt in.");
  CHECK(said("r9") == "1 cover, of another review, will be burnt in.");
  cover_in("r1");
  CHECK(said("r9") == "2 covers, all of other reviews, will be burnt in.");
  cover_in("r2");
  CHECK(said("r2") == "3 covers, 2 of them of other reviews, will be burnt in.");
  for (const char* name : {"journal", "review.json"})
    REQUIRE(ReplaceFile(RealFileSystem(), path + "/reviews/r1/" + name, "broken").ok());
  CHECK(said("r2").starts_with("The review 'r1' can't be read, and it may cover"));
}

TEST_CASE("The list before sharing asks for consent, covers, sound, names and the law", "[clips]") {
  const auto list = LoadWordList(AssetsFolder() + "/sharing.json", "checks");
  REQUIRE(list.ok());
  std::string keys;
  for (const WordList::Item& item : list->items) keys += item.key + " ";
  CHECK(keys == "consent covers sound names law ");
}

}  // namespace afterscope
