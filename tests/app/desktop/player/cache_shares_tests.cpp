// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/picture_cache.hpp"
#include "app/desktop/player/cache_shares.hpp"
#include "app/desktop/player/reel.hpp"
#include "tests/app/desktop/player/player_support.hpp"

#include <catch2/catch.hpp>

#include <numeric>

using namespace afterscope;

namespace {

// How many frames of the recording are in its cache.
int InCache(const Recording& recording) {
  const auto table = recording.table();
  int count = 0;
  for (std::int64_t i = 0; i < table->size(); ++i)
    count += recording.Cached((*table)[FrameIndex{i}].pts) ? 1 : 0;
  return count;
}

}  // namespace

TEST_CASE(
    "The recording in sight has the larger share of the cache, and all together never more than there is",
    "[player][cache]") {
  for (const std::size_t count : {1, 2, 3, 10, 40})
    for (std::size_t in_sight = 0; in_sight < count; ++in_sight) {
      const auto shares = CacheShares(1000, count, in_sight);
      REQUIRE(shares.size() == count);
      CHECK(std::accumulate(shares.begin(), shares.end(), std::int64_t{0}) == 1000);
      CHECK(shares[in_sight] >= 500);
      for (std::size_t i = 0; i < count; ++i) CHECK(shares[i] >= 0);
    }
  CHECK(CacheShares(1000, 1, 0) == std::vector<std::int64_t>{1000});
  CHECK(CacheShares(1000, 2, 1) == std::vector<std::int64_t>{250, 750});
  CHECK(CacheShares(1000, 3, 1) == std::vector<std::int64_t>{125, 750, 125});
  CHECK(CacheShares(1000, 4, 0) == std::vector<std::int64_t>{500, 250, 125, 125});
  CHECK(CacheShares(1000, 4, 9) == std::vector<std::int64_t>(4, 250));
  CHECK(CacheShares(1000, 0, 0).empty());
}

TEST_CASE("A case and those compared with it share what the machine can afford", "[player][cache]") {
  CHECK(BudgetFor(false).case_bytes == DefaultCacheBytes());
  CHECK(BudgetFor(false).compared_bytes == 0);
  CHECK(BudgetFor(true).case_bytes + BudgetFor(true).compared_bytes == DefaultCacheBytes());
  CHECK(BudgetFor(true).compared_bytes > BudgetFor(true).case_bytes);
}

TEST_CASE("The cache follows the playhead from one recording into the other", "[player][cache]") {
  const TemporaryFolder folder;
  const std::string path = MovingRecording(folder, "a.mp4", 2);
  JobRunner jobs(2);
  constexpr std::int64_t kFrame = 640 * 480 * 3 / 2;
  constexpr int kFrames = 24;
  Reel reel(jobs, kFrames * kFrame, false);
  const auto here = [path]() -> Result<std::string> { return path; };
  reel.Open({{path, here}, {path, here}});
  REQUIRE(ComesTrue([&] { return jobs.Drain(), reel.AllSettled(); }));
  for (int i = 0; i < 2; ++i) REQUIRE(reel.At(i)->WaitForTable(TableState::kVerified, {}, {}).ok());
  const FrameRef middle{0, (*reel.At(0)->table())[FrameIndex{25}].pts};

  reel.Follow(middle, 0);
  CHECK(ComesTrue([&] { return InCache(*reel.At(0)) > kFrames / 2; }));
  reel.Follow({1, middle.pts}, 0);
  CHECK(InCache(*reel.At(0)) <= kFrames / 4);
  CHECK(ComesTrue([&] { return InCache(*reel.At(1)) > kFrames / 2; }));
  CHECK(InCache(*reel.At(0)) + InCache(*reel.At(1)) <= kFrames);

  reel.SetCacheBytes(4 * kFrame);
  CHECK(InCache(*reel.At(0)) + InCache(*reel.At(1)) <= 4);
}
