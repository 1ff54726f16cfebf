// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/case_recordings.hpp"
#include "annotate/media/picture_check.hpp"
#include "tests/annotate/media/media_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

using namespace afterscope;

TEST_CASE("Several recordings are one clock, and a missing one is said and passed over") {
  const TemporaryFolder cache;
  Recording::Options options;
  options.cache_folder = cache.path();
  CaseRecord record;
  for (const char* path : {"files/vfr.mp4", "files/absent.mp4", "files/starts_late.mp4", ""})
    record.recordings.push_back({path, {}, {}});
  record.recordings[1].shape = {{1, 1000}, {500}, {2500}, 160, 120, {1, 1}, 0, true};
  const CaseRecordings all = CaseRecordings::Open(MediaFolder(), record, options);
  REQUIRE(all.size() == 4);
  REQUIRE(all.At(0) != nullptr);
  CHECK(all.At(1) == nullptr);
  REQUIRE(all.At(2) != nullptr);
  CHECK(all.At(3) == nullptr);
  CHECK(all.At(-1) == nullptr);
  CHECK(all.At(4) == nullptr);
  REQUIRE(all.cautions().size() == 1);
  CHECK(all.cautions()[0].find("absent.mp4") != std::string::npos);
  for (const int i : {0, 2}) REQUIRE(all.At(i)->WaitForTable(TableState::kVerified, {}, {}).ok());

  // Lengths by the generator: 96 frames at 24 a second; two seconds declared by the case; 96 frames again.
  const CaseClock clock = all.Clock();
  const FrameRef late{2, all.At(2)->table()->begin()};
  CHECK(clock.Seconds(late) == Approx(4 + 2).margin(0.05));
  CHECK(clock.TotalSeconds() == Approx(4 + 2 + 4).margin(0.05));
  const auto picture = all.Frame(clock.At(clock.Seconds(late)), {});
  REQUIRE(picture.ok());
  CHECK(picture->frame == late);
  const auto missing = all.Frame({1, {600}}, {});
  REQUIRE_FALSE(missing.ok());
  CHECK(missing.error().code == ErrorCode::kUnreadable);
}

TEST_CASE("Another file in a recording's place is said and not opened") {
  const TemporaryFolder cache;
  Recording::Options options;
  options.cache_folder = cache.path();
  CaseRecord record;
  record.recordings.push_back({"files/vfr.mp4", {1234, std::string(64, 'a'), ""}, {}});
  const CaseRecordings all = CaseRecordings::Open(MediaFolder(), record, options);
  CHECK(all.At(0) == nullptr);
  REQUIRE(all.cautions().size() == 1);
  CHECK(all.cautions()[0].find("is not the recording that this case was made with") != std::string::npos);
}
