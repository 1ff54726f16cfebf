// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/series_json.hpp"
#include "annotate/jobs/measure.hpp"
#include "annotate/jobs/series/update_index.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/index/index_schema.hpp"
#include "annotate/store/index/sql_database.hpp"
#include "tests/annotate/jobs/series/series_support.hpp"
#include "tests/support/places.hpp"
#include "tests/support/postgres_server.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>

namespace afterscope {

namespace {

void ReadsOnlyWhatChanged(const std::string& where) {
  TestSeries series(where);
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

void ShowsReadersWholeTransactions(const std::string& where) {
  auto writer = CaseIndex::Open(where);
  auto reader = CaseIndex::Open(where);
  IndexCase entry;
  entry.folder = "/cases/a";
  REQUIRE((*writer)
              ->Write([&]() -> Status {
                AFTERSCOPE_TRY((*writer)->Put({entry}));
                CHECK((*reader)->CasesUnder("/cases")->empty());
                return {};
              })
              .ok());
  CHECK((*reader)->CasesUnder("/cases")->size() == 1);
  // What fails is taken back whole.
  entry.folder = "/cases/b";
  CHECK_FALSE((*writer)
                  ->Write([&]() -> Status {
                    AFTERSCOPE_TRY((*writer)->Put({entry}));
                    return Error{ErrorCode::kStopped, "Stopped."};
                  })
                  .ok());
  CHECK((*reader)->CasesUnder("/cases")->size() == 1);
  // '/cases2' is not under '/cases'.
  entry.folder = "/cases2/c";
  REQUIRE((*writer)->Write([&] { return (*writer)->Put({entry}); }).ok());
  CHECK((*reader)->CasesUnder("/cases")->size() == 1);
}

// Of a case that is taken out no text stays, and another's rows are not taken for it.
void TakesOutWholly(const std::string& where) {
  auto index = CaseIndex::Open(where);
  IndexCase entry;
  entry.folder = "/out/a";
  entry.reviews.resize(1);
  IndexFinding finding;
  finding.name = "incision.width";
  finding.value = 2.4;
  entry.reviews[0].findings = {finding};
  finding.step = "what somebody wrote";
  entry.reviews[0].findings.push_back(finding);
  IndexCase other = entry;
  other.folder = "/out/b";
  other.reviews[0].findings.pop_back();
  REQUIRE((*index)->Write([&] { return (*index)->Put({entry, other}); }).ok());
  const std::int64_t id = (*index)->KnownUnder("/out/a")->at("/out/a").id;
  // Somebody has read the case again since its id was looked up.
  REQUIRE((*index)->Write([&] { return (*index)->Put({entry}); }).ok());
  REQUIRE((*index)->Write([&] { return (*index)->Remove("/out/a", id); }).ok());
  CHECK((*index)->CasesUnder("/out")->size() == 2);
  const auto steps = [&] {
    std::vector<std::string> all;
    const auto measures = (*index)->Measures();
    for (const IndexMeasure& measure : *measures)
      if (measure.name == "incision.width") all.push_back(measure.step);
    return all;
  };
  CHECK(steps() == std::vector<std::string>{"", "what somebody wrote"});
  REQUIRE((*index)->Write([&] { return (*index)->Remove("/out/a"); }).ok());
  CHECK((*index)->CasesUnder("/out")->size() == 1);
  CHECK(steps() == std::vector<std::string>{""});
  REQUIRE((*index)->LeaveNoLog().ok());
}

// The tables of version 4 did not know which review is whose view.
void ReadsOlderTablesAgain(const std::string& where) {
  TestSeries series(where);
  series.Add({"a", "2024-01-01", {{"rhexis", 0, 60, "", false}}});
  series.Index();
  {
    auto database = IsPostgresAddress(where) ? OpenPostgres(where) : OpenSqlite(where);
    REQUIRE(database.ok());
    for (const char* column : {"is_self", "version", "version_of", "seal"})
      REQUIRE((*database)->Run(fmt::format("ALTER TABLE reviews DROP COLUMN {}", column)).ok());
    REQUIRE((*database)->Run("ALTER TABLE reviews ADD COLUMN changed TEXT NOT NULL DEFAULT ''").ok());
    REQUIRE((*database)->Run("DELETE FROM index_version WHERE version > 4").ok());
  }
  const auto index = CaseIndex::Open(where);
  REQUIRE(index.ok());
  CHECK(UpdateIndex(**index, series.folder(), {}, {})->read == 1);
  CHECK((*index)->CasesUnder(series.folder())->at(0).reviews.at(0).version_of == "r1");
}

// A value that its database can't take is told, at the latest with the end of the transaction, and nothing of
// the transaction stays.
void TakesBackWhatFails(const std::string& where) {
  auto index = CaseIndex::Open(where);
  IndexCase entry;
  entry.folder = "/other/a";
  entry.reviews.resize(1);
  IndexFinding finding;
  finding.name = "rhexis.circularity";
  finding.low = std::numeric_limits<double>::quiet_NaN();
  entry.reviews[0].findings = {finding};
  const Status done = (*index)->Write([&]() -> Status {
    AFTERSCOPE_TRY((*index)->Put({entry}));
    entry.folder = std::string("/other/\xff", 8);  // no text of any database in UTF-8
    return (*index)->Put({entry});
  });
  if (IsPostgresAddress(where)) {
    REQUIRE_FALSE(done.ok());
    CHECK(done.error().message.find("PostgreSQL") != std::string::npos);
    CHECK((*index)->CasesUnder("/other")->empty());
  }
  entry.folder = "/other/b";
  entry.reviews[0].findings[0].low = -1.0 / 3;
  entry.reviews[0].findings[0].value = 1.0 / 3;
  entry.reviews[0].findings[0].high = 1e-300;
  REQUIRE((*index)->Write([&] { return (*index)->Put({entry}); }).ok());
  const auto values = (*index)->Values("rhexis.circularity", "");
  REQUIRE_FALSE(values->empty());
  CHECK(values->back().finding.value == 1.0 / 3);  // to the last digit
  CHECK(values->back().finding.high == 1e-300);
  CHECK_FALSE(values->back().finding.frame);
}

// Figures of a series in words and numbers.
std::string FiguresOn(const std::string& where) {
  TestSeries series(where);
  for (int i = 0; i < 12; ++i)
    series.Add({fmt::format("case-{:02}", i),
                fmt::format("2024-{:02}-03", 1 + i),
                {{"rhexis", 10, 100.0 + 7 * (i % 5) - i, "", false}, {"lens", 200, 231.5 + i, "", i == 4}},
                i % 3 == 0 ? "T-2" : "T-1",
                {i % 2 == 0 ? "small_pupil" : "dense_nucleus"},
                i == 7 ? std::vector<std::string>{"posterior_capsule_rupture"} : std::vector<std::string>{},
                {SetCaseField{"extra.case_number", fmt::format("{}", i)}},
                true});
  const auto model = series.Build();
  REQUIRE(model.ok());
  std::string text = JsonFromSeries(*model).dump();
  for (auto at = text.find(series.folder()); at != std::string::npos; at = text.find(series.folder()))
    text.replace(at, series.folder().size(), "FOLDER");
  return text;
}

// Signs that a database's own text forms set apart come back as they were.
void KeepsEverySign(const std::string& where) {
  auto index = CaseIndex::Open(where);
  const std::string words = "tab\there, \\N, \\., line\nline\r\n, \"'\xC3\xA4\xE0\xA6\x95";
  IndexCase entry;
  entry.folder = "/signs/a";
  entry.code = words;
  entry.reviews.resize(1);
  entry.reviews[0].visits = {{words, words, true, 1.0 / 3, 1e9, {2, Pts{-7}}}, {"lens", "", false, 0, 0, {}}};
  entry.reviews[0].moments = {{"remark", "", words, "", "", 1, {}}};
  REQUIRE((*index)->Write([&] { return (*index)->Put({entry}); }).ok());
  const auto cases = (*index)->CasesUnder("/signs");
  REQUIRE(cases->size() == 1);
  CHECK(cases->at(0).code == words);
  const std::int64_t review = cases->at(0).reviews.at(0).id;
  const auto visits = (*index)->Visits()->at(review);
  REQUIRE(visits.size() == 2);
  CHECK(visits[0].step == words);
  CHECK(visits[0].operator_code == words);
  CHECK(visits[0].taken_over);
  CHECK(visits[0].start_s == 1.0 / 3);
  CHECK(visits[0].end_s == 1e9);
  CHECK(visits[0].start == FrameRef{2, Pts{-7}});
  CHECK(visits[1].step == "lens");
  CHECK((*index)->Moments("remark")->at(review).at(0).words == words);
}

}  // namespace

TEST_CASE("The index keeps every sign of a text", "[index]") {
  const TemporaryFolder place;
  KeepsEverySign(place / "i.sqlite");
}

TEST_CASE("The tables of an older version are brought up to date, and all cases read again", "[index]") {
  const TemporaryFolder place;
  ReadsOlderTablesAgain(place / "i.sqlite");
}

TEST_CASE("Of a case that is taken out of the index no text stays", "[index]") {
  const TemporaryFolder place;
  TakesOutWholly(place / "i.sqlite");
}

TEST_CASE("The index's log is emptied while others have it open, or it is said that it is not", "[index]") {
  const TemporaryFolder place;
  auto one = CaseIndex::Open(place / "i.sqlite");
  auto other = CaseIndex::Open(place / "i.sqlite");
  IndexCase entry;
  entry.folder = "/log/a";
  REQUIRE((*one)->Write([&] { return (*one)->Put({entry}); }).ok());
  REQUIRE((*other)->CasesUnder("/log")->size() == 1);
  REQUIRE(std::filesystem::file_size(place / "i.sqlite-wal") > 0);
  REQUIRE((*other)
              ->Write([&]() -> Status {
                const Status done = (*one)->LeaveNoLog();
                CHECK_FALSE(done.ok());
                if (!done.ok()) CHECK(done.error().code == ErrorCode::kUnwritable);
                return {};
              })
              .ok());
  REQUIRE((*one)->LeaveNoLog().ok());
  CHECK(std::filesystem::file_size(place / "i.sqlite-wal") == 0);
}

TEST_CASE("The index reads only what changed, and forgets what is gone", "[index]") {
  ReadsOnlyWhatChanged("");
}

TEST_CASE("Readers see the state before a writer's transaction", "[index]") {
  const TemporaryFolder place;
  ShowsReadersWholeTransactions(place / "i.sqlite");
}

TEST_CASE("An index on PostgreSQL does what one in a file does, with the same figures", "[index][postgres]") {
  const auto server = PostgresServer::Start();
  if (!server) {
    WARN("Skipped: Debian's package postgresql is not installed.");
    return;
  }
  ReadsOnlyWhatChanged(server->FreshDatabase());
  ShowsReadersWholeTransactions(server->FreshDatabase());
  TakesBackWhatFails(server->FreshDatabase());
  KeepsEverySign(server->FreshDatabase());
  TakesOutWholly(server->FreshDatabase());
  ReadsOlderTablesAgain(server->FreshDatabase());
  CHECK(FiguresOn(server->FreshDatabase()) == FiguresOn(""));
  // A newer version's tables are refused; a server that is not there is told without the password.
  const std::string where = server->FreshDatabase();
  REQUIRE(CaseIndex::Open(where).ok());
  {
    auto database = OpenPostgres(where);
    REQUIRE((*database)
                ->Run("INSERT INTO index_version (version) VALUES ($1)", {std::int64_t{IndexVersion() + 1}})
                .ok());
  }
  CHECK(CaseIndex::Open(where).error().code == ErrorCode::kUnreadable);
  const auto nowhere = CaseIndex::Open("postgresql://a:hushhush@/x?host=/nowhere");
  REQUIRE_FALSE(nowhere.ok());
  CHECK(nowhere.error().message.find("hushhush") == std::string::npos);
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

namespace {

// A limbus and a rhexis by twelve points each, on one frame; `wrong` pixels too far out, every other point
// one more.
std::vector<Edit> TwoOutlines(double wrong) {
  const auto circle = [&](double radius) {
    std::vector<PointPx> points;
    for (int i = 0; i < 12; ++i) {
      const double angle = i * 2 * 3.14159265358979323846 / 12, r = radius + wrong + i % 2;
      points.push_back({320 + r * std::cos(angle), 240 + r * std::sin(angle)});
    }
    return points;
  };
  const FrameRef at{0, Pts{400}};
  return {Put<Mark>{{{"m1"}, at, MarkKind::kLimbus, circle(220), "", {}}},
          Put<Mark>{{{"m2"}, at, MarkKind::kRhexis, circle(95), "", {{"stage", "completion"}}}}};
}

}  // namespace

TEST_CASE("Marks that another reviewer repeated enter the limits in the index", "[index]") {
  const TemporaryFolder place;
  const std::string folder = place / "cases";
  std::filesystem::create_directory(folder);
  CaseRecord record;
  record.recordings = {{"", {}, {{1, 1000}, Pts{0}, Pts{60000}, 640, 480, {1, 1}, 0, true}}};
  REQUIRE(CaseSession::Create(folder + "/a", record).ok());
  const auto mark = [&](const char* review, double wrong) {
    auto session = CaseSession::Open(folder + "/a", {ReviewId{review}, "", false});
    REQUIRE((*session)->Commit({"Mark", TwoOutlines(wrong)}).ok());
    return (*session)->review();
  };
  auto index = CaseIndex::Open(place / "index.sqlite");
  const auto width = [&] {
    REQUIRE(UpdateIndex(**index, *IndexedFolder(folder), {}, {}).ok());
    const auto cases = (*index)->CasesUnder(*IndexedFolder(folder));
    const auto values = (*index)->Values("rhexis.diameter_equivalent", "");
    for (const IndexValue& value : *values)
      if (value.review_id == cases->at(0).reviews.at(0).id) return value.finding.high - value.finding.low;
    return 0.0;
  };
  const Review first = mark("r1", 0);
  const double alone = width();
  REQUIRE(alone > 0);
  const Review second = mark("r2", 9);  // nine pixels farther out
  const double repeated = width();
  CHECK(repeated > 1.2 * alone);
  MeasureOptions options;
  options.others = {&second};
  const std::vector<Finding> findings = MeasureReview(record, first, {}, options);
  for (const Finding& finding : findings)
    if (finding.name == "rhexis.diameter_equivalent")
      CHECK(repeated == Approx(finding.measured.estimate->high - finding.measured.estimate->low));
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
  // An index of version 2 had a row for each visit: its cases are read again.
  {
    auto database = OpenSqlite(place / "old.sqlite");
    REQUIRE(MigrateIndex(**database).ok());
    for (const char* back :
         {"DROP TABLE visits", "CREATE TABLE visits (review_id BIGINT NOT NULL, step TEXT NOT NULL)",
          "DROP INDEX moments_of_kind", "DROP INDEX checks_of_item",
          "ALTER TABLE reviews DROP COLUMN is_self", "ALTER TABLE reviews DROP COLUMN version",
          "ALTER TABLE reviews DROP COLUMN version_of", "ALTER TABLE reviews DROP COLUMN seal",
          "ALTER TABLE reviews ADD COLUMN changed TEXT NOT NULL DEFAULT ''",
          "DELETE FROM index_version WHERE version > 2",
          "INSERT INTO cases VALUES (1,'/a','stamp','','','','','','','','','','',0)"})
      REQUIRE((*database)->Run(back).ok());
  }
  auto old = CaseIndex::Open(place / "old.sqlite");
  REQUIRE(old.ok());
  CHECK((*old)->KnownUnder("/a")->at("/a").stamp.empty());
  CHECK((*old)->Visits()->empty());
  std::ofstream(place / "text.sqlite") << std::string(5000, 'x');
  CHECK(CaseIndex::Open(place / "text.sqlite").error().code == ErrorCode::kUnreadable);
  CHECK_FALSE(CaseIndex::Open("/proc/nowhere/i.sqlite").ok());
}

TEST_CASE("A case whose sizes are beyond any number does not stop the index", "[series]") {
  TestSeries series;
  series.Add({"a", "2024-01-01", {{"rhexis", 0, 60, "", false}}});
  series.Add({"b", "2024-01-02", {{"rhexis", 0, 70, "", false}}});
  {
    const auto ring = [](const char* id, MarkKind kind, double radius, double x) {
      Mark mark{MarkId{id}, {0, {10}}, kind, {}, {}, {}};
      for (int i = 0; i < 12; ++i)
        mark.points.push_back({x + radius * std::cos(i * 0.5236), 360 + radius * std::sin(i * 0.5236)});
      return mark;
    };
    auto session = CaseSession::Open(series.folder() + "/b", {});
    REQUIRE((*session)
                ->Commit(
                    {"Marks",
                     {Put<Mark>{ring("m1", MarkKind::kRhexis, 100, 640)},
                      Put<Mark>{ring("m2", MarkKind::kPupil, 200, 740)},
                      Put<Mark>{{MarkId{"m3"}, {0, {10}}, MarkKind::kRuler, {{0, 0}, {1e-307, 0}}, {}, {}}},
                      Put<ScaleDef>{
                          {ScaleId{"s1"}, ScaleSource::kRuler, MarkId{"m3"}, Plane::kCapsule, 1.0, {}, {}}}}})
                .ok());
  }
  CHECK(series.Index().CasesUnder(series.folder())->size() == 2);
}

}  // namespace afterscope
