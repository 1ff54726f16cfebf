// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/demo/table_cases.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("The demo's tables have difficult eyes, complications, scores and a second reviewer", "[demo]") {
  const auto series = ReadDemoSeries(std::string(places::kAssets) + "/demo/series.json");
  REQUIRE(series.ok());
  const auto reviewing = LoadDemoReviewing(*series, places::kAssets);
  REQUIRE(reviewing.ok());
  for (const DemoCase& one : series->cases)
    CHECK(GiveScores(one.scores, reviewing->sheet).edits.size() == one.scores.size());
  const auto tables = InventTables(series->tables, series->cases.front().record, reviewing->sheet);
  REQUIRE(static_cast<int>(tables.size()) == series->tables.count);
  int difficult = 0, happened = 0, twice = 0, followed = 0;
  for (const TimesOnlyCase& table : tables) {
    difficult += table.record.difficulty.empty() ? 0 : 1;
    happened += table.moments.edits.empty() ? 0 : 1;
    twice += table.second_steps.edits.empty() ? 0 : 1;
    followed += table.record.extra.contains("follow_up.posterior_capsule") ? 1 : 0;
    CHECK(table.scores.size() == reviewing->sheet.items.size());
    CHECK(table.record.extra.contains("complications") == table.moments.edits.empty());
    for (const auto& [item, value] : table.second_scores) CHECK(reviewing->sheet.Find(item)->Find(value));
  }
  CHECK(difficult > 5);
  CHECK(happened > 0);
  CHECK(happened < 10);
  CHECK(twice == series->tables.scored_twice);
  CHECK(followed == series->tables.follow_ups);
}

}  // namespace afterscope
