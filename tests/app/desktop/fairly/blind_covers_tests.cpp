// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/phantom_case.hpp"
#include "annotate/store/case_session.hpp"
#include "app/desktop/fairly/blind_covers.hpp"
#include "tests/support/temporary_folder.hpp"
#include "tests/support/watched_files.hpp"

#include <catch2/catch.hpp>

#include <filesystem>

namespace afterscope {
namespace {

// A case with a small recording of three frames.
CaseRecord MadeBlindCase(const std::string& folder) {
  phantom::Scene scene = phantom::RandomScene(5, phantom::Difficulty::kEasy);
  scene.width = 160, scene.height = 120, scene.px_per_mm = 6;
  const phantom::Phantom phantom(scene);
  const std::vector<double> seconds{1, 1.04, 1.08};
  const std::vector<std::string> paths{folder + ".mp4"};
  REQUIRE(RecordPhantom(phantom, {}, seconds, std::vector<std::size_t>{0}, paths, {}, {}).ok());
  const auto frames = ReadBackPhantom(seconds, {0}, paths, {});
  REQUIRE(frames.ok());
  CaseRecord record;
  record.code = "X-1";
  REQUIRE(AddRecordings(*frames, folder, record).ok());
  REQUIRE(CaseSession::Create(folder, record).ok());
  return record;
}

}  // namespace

TEST_CASE("Found words that can't be kept are said, and hidden all the same", "[fairly]") {
  const TemporaryFolder folder;
  const CaseRecord record = MadeBlindCase(folder / "X-1");
  const std::string kept = folder / "X-1/cache/burnt_in_words.json";
  WatchedFiles broken(RealFileSystem(), [](int, const std::string& what) -> Status {
    return Error{ErrorCode::kUnwritable, what + " failed."};
  });
  const auto found = BlindCovers(folder / "X-1", record, {}, {}, broken);
  REQUIRE(found.ok());
  CHECK(found->covers.size() == 1);
  CHECK(found->not_kept.ends_with(" failed."));
  CHECK_FALSE(std::filesystem::exists(kept));

  const auto again = BlindCovers(folder / "X-1", record, {}, {});
  REQUIRE(again.ok());
  CHECK(again->not_kept.empty());
  CHECK(std::filesystem::exists(kept));
  const auto third = BlindCovers(folder / "X-1", record, {}, {}, broken);  // nothing is to be written
  REQUIRE(third.ok());
  CHECK(third->not_kept.empty());
}

}  // namespace afterscope
