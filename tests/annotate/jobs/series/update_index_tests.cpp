// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/update_index.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/index/index_schema.hpp"
#include "tests/annotate/jobs/series/series_support.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>

namespace afterscope {

TEST_CASE("The index reads only what changed, and forgets what is gone", "[index]") {
  TestSeries series;
  series.Add({"a", "2024-01-01", {{"rhexis", 0, 60, "", false}}});
  series.Add({"b", "2024-01-02", {{"rhexis", 0, 70, "", false}}});
  CaseIndex& index = series.Index();
  auto again = UpdateIndex(index, series.folder(), {}, {});
  REQUIRE(again.ok());
  CHECK(again->cases == 2);
  CHECK(again->read == 0);
  {
    auto session = CaseSession::Open(series.folder() + "/b", {});
    REQUIRE((*session)->Commit({"Eye", {SetCaseField{"eye", "left"}}}).ok());
  }
  again = UpdateIndex(index, series.folder(), {}, {});
  CHECK(again->read == 1);
  CHECK(index.CasesUnder(series.folder())->at(1).eye == "left");
  {
    OpenCaseOptions second;
    second.review = ReviewId{"r2"};
    auto session = CaseSession::Open(series.folder() + "/b", second);
    REQUIRE((*session)->Commit({"Check", {SetCheck{"lens_in_bag", CheckState::kSeenDone}}}).ok());
  }
  again = UpdateIndex(index, series.folder(), {}, {});
  CHECK(again->read == 1);
  CHECK(index.CasesUnder(series.folder())->at(1).reviews.size() == 2);
  std::filesystem::remove_all(series.folder() + "/a");
  again = UpdateIndex(index, series.folder(), {}, {});
  CHECK(again->removed == 1);
  CHECK(index.CasesUnder(series.folder())->size() == 1);
  CHECK(index.Values("time.step_total", "rhexis")->size() == 2);  // of b: the step, and its operator's part
}

TEST_CASE("A case that can't be read is told and keeps its place in the index", "[index]") {
  TestSeries series;
  series.Add({"a", "2024-01-01", {{"rhexis", 0, 60, "", false}}});
  std::filesystem::create_directory(series.folder() + "/broken");
  std::ofstream(series.folder() + "/broken/case.json") << "{";
  auto index = CaseIndex::Open(series.folder() + "/../other.sqlite");
  REQUIRE(index.ok());
  auto update = UpdateIndex(**index, series.folder(), {}, {});
  REQUIRE(update.ok());
  CHECK(update->cases == 2);
  CHECK(update->problems.size() == 1);
  CHECK(UpdateIndex(**index, series.folder(), {}, {})->read == 0);
  CHECK(series.Build()->cases.size() == 1);
}

TEST_CASE("Findings of marks come from the case's cache once they are computed", "[index]") {
  const TemporaryFolder place;
  const std::string folder = place / "cases";
  std::filesystem::create_directory(folder);
  std::filesystem::copy(std::string(places::kTestData) + "/cases/format-1.0", folder + "/sample",
                        std::filesystem::copy_options::recursive);
  auto index = CaseIndex::Open(place / "index.sqlite");
  REQUIRE(UpdateIndex(**index, *IndexedFolder(folder), {}, {}).ok());
  const auto before = (*index)->Measures();
  REQUIRE_FALSE(before->empty());
  // A changed number in the cache shows where the second index took it from.
  std::string file;
  for (const auto& entry : std::filesystem::directory_iterator(folder + "/sample/cache"))
    if (entry.path().filename().string().starts_with("findings-")) file = entry.path().string();
  REQUIRE_FALSE(file.empty());
  std::ifstream in(file);
  std::string text((std::istreambuf_iterator<char>(in)), {});
  const auto at = text.find("[\"time.whole\",\"\",\"\",");
  REQUIRE(at != std::string::npos);
  const auto number = at + 20;
  text.replace(number, text.find(',', number) - number, "987654");
  std::ofstream(file) << text;
  auto second = CaseIndex::Open(place / "second.sqlite");
  REQUIRE(UpdateIndex(**second, *IndexedFolder(folder), {}, {}).ok());
  const auto values = (*second)->Values("time.whole", "");
  REQUIRE(values.ok());
  CHECK(std::any_of(values->begin(), values->end(),
                    [](const IndexValue& value) { return value.finding.value == 987654; }));
}

TEST_CASE("The index opens an older version's file and refuses a newer one", "[index]") {
  const TemporaryFolder place;
  {
    auto database = OpenSqlite(place / "i.sqlite");
    REQUIRE(MigrateIndex(**database).ok());
    REQUIRE(MigrateIndex(**database).ok());  // nothing left to do
    REQUIRE((*database)
                ->Run("INSERT INTO index_version (version) VALUES ($1)", {std::int64_t{IndexVersion() + 1}})
                .ok());
  }
  CHECK(CaseIndex::Open(place / "i.sqlite").error().code == ErrorCode::kUnreadable);
  std::ofstream(place / "text.sqlite") << std::string(5000, 'x');
  CHECK(CaseIndex::Open(place / "text.sqlite").error().code == ErrorCode::kUnreadable);
  CHECK_FALSE(CaseIndex::Open("/proc/nowhere/i.sqlite").ok());
}

TEST_CASE("Readers see the state before a writer's transaction", "[index]") {
  const TemporaryFolder place;
  auto writer = CaseIndex::Open(place / "i.sqlite");
  auto reader = CaseIndex::Open(place / "i.sqlite");
  IndexCase entry;
  entry.folder = "/cases/a";
  REQUIRE((*writer)
              ->Write([&]() -> Status {
                AFTERSCOPE_TRY((*writer)->Put(entry));
                CHECK((*reader)->CasesUnder("/cases")->empty());
                return {};
              })
              .ok());
  CHECK((*reader)->CasesUnder("/cases")->size() == 1);
  // What fails is taken back whole.
  entry.folder = "/cases/b";
  CHECK_FALSE((*writer)
                  ->Write([&]() -> Status {
                    AFTERSCOPE_TRY((*writer)->Put(entry));
                    return Error{ErrorCode::kStopped, "Stopped."};
                  })
                  .ok());
  CHECK((*reader)->CasesUnder("/cases")->size() == 1);
  // '/cases2' is not under '/cases'.
  entry.folder = "/cases2/c";
  REQUIRE((*writer)->Write([&] { return (*writer)->Put(entry); }).ok());
  CHECK((*reader)->CasesUnder("/cases")->size() == 1);
}

}  // namespace afterscope
