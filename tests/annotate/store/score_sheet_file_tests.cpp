// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/edit.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/score_sheet_file.hpp"
#include "tests/support/places.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <filesystem>
#include <fstream>

namespace afterscope {
namespace {

std::string Written(const TemporaryFolder& folder, const std::string& text) {
  const std::string path = folder / "sheet.json";
  std::ofstream(path) << text;
  return path;
}

// A sheet of `count` items with whole values from `least` to `most`; invented words.
std::string SheetText(int count, int least, int most, const std::string& more) {
  std::string levels;
  for (int v = least; v <= most; ++v)
    levels += fmt::format("{}{{\"value\": {}, \"name\": \"word {}\"}}", v > least ? ", " : "", v, v);
  std::string items;
  for (int i = 1; i <= count; ++i)
    items += fmt::format("{}{{\"key\": \"i{}\", \"name\": \"Item {}\", \"levels\": \"common\"}}",
                         i > 1 ? ", " : "", i, i);
  return fmt::format(R"({{"id": "own", "name": "Own", {}"levels": {{"common": [{}]}}, "items": [{}]}})", more,
                     levels, items);
}

void Give(Review& review, const ScoreSheet& sheet, const std::string& item, const std::string& value) {
  const auto score = MakeScore(sheet, item, value);
  REQUIRE(score.ok());
  CaseRecord record;
  REQUIRE(ApplyEdits({"Score", {Put<Score>{*score}}}, record, review).ok());
}

}  // namespace

TEST_CASE("The sheets that are shipped load and are complete", "[score]") {
  const auto ids = ScoreSheetIds(places::kAssets);
  CHECK(ids == std::vector<std::string>{"phaco_steps", "whole_operation"});
  for (const std::string& id : ids) {
    const auto sheet = FindScoreSheet(id, "/nowhere", places::kAssets);
    REQUIRE(sheet.ok());
    CHECK(sheet->id == id);
    for (const ScoreItem& item : sheet->items)
      for (const ScoreLevel& level : item.levels) CHECK_FALSE(level.description.empty());
  }
}

TEST_CASE("Twenty items from 2 to 5 with 0 for not applicable", "[score]") {
  const TemporaryFolder folder;
  const auto sheet = LoadScoreSheetFile(Written(folder, SheetText(20, 2, 5, "\"not_applicable\": 0, ")));
  REQUIRE(sheet.ok());
  Review review;
  for (int i = 1; i <= 18; ++i) Give(review, *sheet, fmt::format("i{}", i), "4");
  Give(review, *sheet, "i19", "0");
  CHECK_FALSE(FindScore(review.scores, "own", "i19")->value);
  ScoreSum sum = SumScores(*sheet, review.scores);
  CHECK(sum.missing == 1);
  CHECK(sum.not_applicable == 1);
  CHECK(sum.sum == 72);
  CHECK(sum.most == 90);
  CHECK(*sum.mean == 4);  // the 0 enters no mean
  CHECK(*sum.percent == Approx(80));
  CHECK(UnfinishedScores(*sheet, review.scores, review).size() == 1);
  CHECK_FALSE(MakeScore(*sheet, "i20", "1").ok());
  CHECK_FALSE(MakeScore(*sheet, "i20", "3.5").ok());
  CHECK_FALSE(MakeScore(*sheet, "i21", "3").ok());
}

TEST_CASE("Twenty items from 1 to 5 reach 100, with a pass mark", "[score]") {
  const TemporaryFolder folder;
  const auto sheet = LoadScoreSheetFile(Written(folder, SheetText(20, 1, 5, "\"pass_percent\": 60, ")));
  REQUIRE(sheet.ok());
  Review review;
  for (int i = 1; i <= 20; ++i) Give(review, *sheet, fmt::format("i{}", i), "3");
  const ScoreSum sum = SumScores(*sheet, review.scores);
  CHECK(sum.most == 100);
  CHECK(sum.sum == 60);
  CHECK(*sum.passed);
  Give(review, *sheet, "i1", "2");
  CHECK_FALSE(*SumScores(*sheet, review.scores).passed);
  // A value that the sheet does not have counts for nothing, and is told.
  for (const double value : {-50.0, 999.0}) {
    review.scores[0].value = value;
    const ScoreSum off = SumScores(*sheet, review.scores);
    CHECK(off.missing == 1);
    CHECK(off.sum == 57);
    CHECK(off.most == 95);
    CHECK_FALSE(off.passed);
    CHECK(UnfinishedScores(*sheet, review.scores, review).size() == 1);
  }
  CHECK_FALSE(SumScores(*sheet, {}).percent);
  CHECK_FALSE(SumScores(*sheet, {}).mean);
}

TEST_CASE("A sheet that makes no sense is refused in one sentence", "[score]") {
  const TemporaryFolder folder;
  const auto refused = [&](const std::string& text) {
    const auto sheet = LoadScoreSheetFile(Written(folder, text));
    return !sheet.ok() && sheet.error().code == ErrorCode::kUnreadable && !sheet.error().message.empty();
  };
  CHECK(refused("{"));
  CHECK(refused("{}"));
  CHECK(refused(SheetText(0, 1, 5, "")));
  CHECK(refused(SheetText(3, 1, 1, "")));
  CHECK(refused(SheetText(3, 0, 5, "\"not_applicable\": 0, ")));
  CHECK(refused(R"({"id": "A b", "items": []})"));
  const std::string levels = R"("levels": [{"value": 1}, {"value": 2}])";
  CHECK(refused(R"({"id": "s", "items": [{"key": "a", "name": "A", )" + levels +
                R"(}, {"key": "a", "name": "A", )" + levels + "}]}"));
  CHECK(refused(R"({"id": "s", "items": [{"key": "a", "name": "A", "group": "g", )" + levels + "}]}"));
  CHECK(refused(R"({"id": "s", "items": [{"key": "a", "name": "A", "weight": 0, )" + levels + "}]}"));
  CHECK(refused(
      R"({"id": "s", "items": [{"key": "a", "name": "A", "levels": [{"value": 1}, {"value": 1}]}]})"));
  CHECK_FALSE(FindScoreSheet("nothing", folder.path(), places::kAssets).ok());
}

TEST_CASE("Scores are edits with an inverse: kept, undone, taken away", "[score]") {
  const TemporaryFolder folder;
  REQUIRE(CaseSession::Create(folder / "c", {}).ok());
  const auto sheet = FindScoreSheet("whole_operation", "/nowhere", places::kAssets);
  Score score = *MakeScore(*sheet, "economy", "2");
  score.remark = "Zögernd";
  score.moments = {{"o1"}, {"o2"}};
  {
    const auto session = CaseSession::Open(folder / "c", {});
    REQUIRE((*session)->Commit({"Score", {Put<Score>{score}}}).ok());
    REQUIRE((*session)->Undo().ok());
    CHECK((*session)->review().scores.empty());
    REQUIRE((*session)->Redo().ok());
  }
  std::filesystem::remove(folder / "c/reviews/r1/review.json");  // from the journal alone
  const auto session = CaseSession::Open(folder / "c", {});
  CHECK((*session)->review().scores == std::vector<Score>{score});
  CHECK((*session)->record().extra.empty());
  REQUIRE((*session)->Commit({"Score", {Remove<ScoreId>{score.id}}}).ok());
  CHECK((*session)->review().scores.empty());
  CHECK_FALSE((*session)->Commit({"Score", {Remove<ScoreId>{score.id}}}).ok());
  Score nonsense = score;
  nonsense.id.item = "No item";
  CHECK_FALSE((*session)->Commit({"Score", {Put<Score>{nonsense}}}).ok());
  CHECK_FALSE((*session)->Commit({"Score", {SetCaseField{"extra.score/r1/s/i", "3"}}}).ok());
}

TEST_CASE("A scrub reaches the remark of a score and leaves what it is of", "[score][scrub]") {
  const TemporaryFolder folder;
  REQUIRE(CaseSession::Create(folder / "c", {}).ok());
  const Score score{{"whole", "flow"}, 3, "Frau Muster lag still; o1", {{"o1"}}};
  const auto session = CaseSession::Open(folder / "c", {});
  REQUIRE((*session)->Commit({"Score", {Put<Score>{score}}}).ok());
  for (const char* text : {"Muster", "flow", "o1"}) REQUIRE((*session)->Scrub(text).ok());
  REQUIRE((*session)->review().scores.size() == 1);
  const Score& kept = (*session)->review().scores[0];
  CHECK(kept.remark == "Frau [scrubbed] lag still; [scrubbed]");
  CHECK(kept.id == score.id);
  CHECK(kept.moments == score.moments);
}

TEST_CASE("A review is not signed while its score sheet is unfinished", "[score]") {
  const TemporaryFolder folder;
  REQUIRE(CaseSession::Create(folder / "c", {}).ok());
  const auto sheet = LoadScoreSheetFile(Written(folder, SheetText(2, 1, 5, "")));
  REQUIRE(sheet.ok());
  REQUIRE(KeepScoreSheet(*sheet, folder / "c").ok());
  const auto session = CaseSession::Open(folder / "c", {});
  REQUIRE((*session)->Commit({"Score", {Put<Score>{*MakeScore(*sheet, "i1", "3")}}}).ok());
  const Status refused = (*session)->Sign("m1");
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.error().message.find("'Item 2' has no score yet") != std::string::npos);
  REQUIRE((*session)->Commit({"Score", {Put<Score>{*MakeScore(*sheet, "i2", "na")}}}).ok());
  CHECK((*session)->Sign("m1").ok());
  CHECK((*session)->review().scores.size() == 2);
}

TEST_CASE("A kept sheet is the same sheet", "[score]") {
  const TemporaryFolder folder;
  const auto sheet = FindScoreSheet("phaco_steps", "/nowhere", places::kAssets);
  REQUIRE(KeepScoreSheet(*sheet, folder.path()).ok());
  const auto kept = FindScoreSheet("phaco_steps", folder.path(), "/nowhere");
  REQUIRE(kept.ok());
  REQUIRE(kept->items.size() == sheet->items.size());
  for (std::size_t i = 0; i < kept->items.size(); ++i) {
    CHECK(kept->items[i].key == sheet->items[i].key);
    CHECK(kept->items[i].levels.size() == sheet->items[i].levels.size());
  }
}

TEST_CASE("Score sheets that would fill the memory are refused", "[score]") {
  const TemporaryFolder folder;
  CHECK(LoadScoreSheetFile(Written(folder, SheetText(1000, 1, 100, ""))).ok());
  CHECK_FALSE(LoadScoreSheetFile(Written(folder, SheetText(1001, 1, 5, ""))).ok());
  CHECK_FALSE(LoadScoreSheetFile(Written(folder, SheetText(2, 1, 101, ""))).ok());
  // Levels that all items share, each with many words.
  std::string text = SheetText(900, 1, 2, "");
  text.replace(text.find("word 1"), 6, std::string(60'000, 'x'));
  CHECK_FALSE(LoadScoreSheetFile(Written(folder, text)).ok());
}

}  // namespace afterscope
