// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/blind_covers.hpp"
#include "tests/support/phantom_cases.hpp"
#include "tests/support/temporary_folder.hpp"
#include "tests/support/watched_files.hpp"

#include <catch2/catch.hpp>

#include <filesystem>

namespace afterscope {

TEST_CASE("Found words that can't be kept are said, and hidden all the same", "[fairly]") {
  const TemporaryFolder folder;
  const phantom::Phantom phantom(SmallScene(160, 6));
  const CaseRecord record = MadePhantomCase(phantom, {1, 1.04, 1.08}, folder / "X-1").record;
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
