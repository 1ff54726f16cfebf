// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_session.hpp"
#include "app/desktop/series/series_files.hpp"
#include "tests/support/temporary_folder.hpp"
#include "tests/support/watched_files.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>

namespace afterscope {
namespace {

constexpr char kOldPaper[] = "case\nan old one\n";

std::string TextOfFile(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

WatchedFiles FailingAt(int at) {
  return {RealFileSystem(), [at](int call, const std::string& what) -> Status {
            return call == at ? Status(Error{ErrorCode::kUnwritable, what + " failed."}) : Status();
          }};
}

// A folder of one reviewed case, and where its index lies.
void MakeSeriesFolder(const TemporaryFolder& folder) {
  ::setenv("AFTERSCOPE_INDEX", (folder / "index.sqlite").c_str(), 1);
  CaseRecord record;
  record.code = "X-1";
  record.operator_code = "T1";
  record.recordings.resize(1);
  record.recordings[0].path = "x.mp4";
  record.recordings[0].shape.end = Pts{60000};
  REQUIRE(CaseSession::Create(folder / "X-1", record).ok());
  const auto session = CaseSession::Open(folder / "X-1", {});
  REQUIRE(session.ok());
  const Moment remark{(*session)->NewMomentId(), {0, Pts{10}}, MomentKind::kRemark, "", "so", {}};
  REQUIRE((*session)->Commit({"Remark", {Put<Moment>{remark}}}).ok());
}

}  // namespace

TEST_CASE("A paper about a series that can't be written is said, and is then the old one or the new one",
          "[series]") {
  const TemporaryFolder folder;
  MakeSeriesFolder(folder);
  for (const SeriesPaper paper : {SeriesPaper::kTable, SeriesPaper::kLogbook, SeriesPaper::kSeries}) {
    SeriesOptions options;
    options.filter.operator_code = "T1";
    const std::string path = SeriesPaperPath(paper, folder.path(), "T1");
    const std::string old = path.ends_with(".pdf") ? "%PDF-1.4 an old one" : kOldPaper;
    int failed = 0;
    for (int at = 1;; ++at) {
      std::ofstream(path, std::ios::binary | std::ios::trunc) << old;
      WatchedFiles watched = FailingAt(at);
      const auto written = WriteSeriesPaper(paper, folder.path(), options, {}, {}, {}, watched);
      INFO(path << ", call " << at << ": " << (written.ok() ? "written" : written.error().message));
      if (watched.calls() < at) {
        CHECK(written.ok());
        break;
      }
      const std::string left = TextOfFile(path);
      CHECK((left == old || left.size() > old.size()));
      if (written.ok()) {
        CHECK(left != old);
      } else {
        CHECK(written.error().message.ends_with(" failed."));
        ++failed;
      }
    }
    CHECK(failed >= 4);
  }
  ::unsetenv("AFTERSCOPE_INDEX");
}

TEST_CASE("A table of outcomes that can't be brought in is said", "[series]") {
  const TemporaryFolder folder;
  MakeSeriesFolder(folder);
  std::ofstream(folder / "outcomes.csv") << "case,acuity_logmar\nX-1,0.1\n";
  WatchedFiles watched = FailingAt(1);
  const auto taken = TakeOutcomeTable(folder / "outcomes.csv", folder.path(), "", {}, {}, watched);
  REQUIRE_FALSE(taken.ok());
  CHECK(taken.error().message.find("failed.") != std::string::npos);
  const auto whole = TakeOutcomeTable(folder / "outcomes.csv", folder.path(), "", {}, {});
  REQUIRE(whole.ok());
  CHECK(whole->words == "Brought in for 1 case.");
  ::unsetenv("AFTERSCOPE_INDEX");
}

}  // namespace afterscope
