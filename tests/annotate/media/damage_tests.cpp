// SPDX-License-Identifier: Apache-2.0
// Damaged recordings against the ffmpeg program on the same damaged file: equal before the damage and from
// the next clean key frame on; in between the same picture by every way of getting there, and the damage
// said.
#include "annotate/media/picture_check.hpp"
#include "tests/annotate/media/media_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <random>

using namespace afterscope;

namespace {

// Of frames that are not marked as damaged.
std::size_t WrongWhereClean(const Opened& opened, const std::vector<std::string>& expected) {
  std::size_t wrong = 0;
  for (FrameIndex i; i.value < opened.table->size(); ++i.value) {
    if ((*opened.table)[i].damaged) continue;
    const auto hash = opened.recording->FrameHash(i, {});
    if (!hash.ok() || *hash != expected[static_cast<std::size_t>(i.value)]) ++wrong;
  }
  return wrong;
}

std::size_t DifferentByOtherWays(const Opened& opened) {
  std::vector<std::uint64_t> played;
  const Status swept = opened.recording->Sweep(opened.table->begin(),
                                               [&](const Picture& picture) {
                                                 played.push_back(PictureCheck(picture));
                                                 return true;
                                               },
                                               {});
  REQUIRE(swept.ok());
  REQUIRE(static_cast<std::int64_t>(played.size()) == opened.table->size());
  std::mt19937 random(2);
  std::uniform_int_distribution<std::int64_t> frame(0, opened.table->size() - 1);
  std::size_t different = 0;
  for (int jump = 0; jump < 200; ++jump) {
    const std::int64_t index = frame(random);
    const auto picture = opened.recording->Frame(FrameIndex{index}, {});
    if (!picture.ok() || PictureCheck(*picture) != played[static_cast<std::size_t>(index)]) ++different;
  }
  return different;
}

std::int64_t Damaged(const FrameTable& table) {
  return std::count_if(table.frames().begin(), table.frames().end(),
                       [](const FrameEntry& f) { return f.damaged; });
}

}  // namespace

TEST_CASE(
    "Damaged recordings are read as far as they go, exactly where they are clean, and the damage is said") {
  const TemporaryFolder cache;
  const auto files = FilesIn(MediaFolder() + "/damaged");
  REQUIRE(files.size() >= 9);
  for (const std::string& file : files) {
    INFO(file);
    const Opened opened = OpenVerified(file, cache.path());
    const auto expected = ReferenceHashes(file);
    REQUIRE(opened.table->size() == static_cast<std::int64_t>(expected.size()));
    REQUIRE(opened.table->size() > 60);
    CHECK(Says(*opened.table, "last good frame"));
    CHECK(WrongWhereClean(opened, expected) == 0);
    CHECK(DifferentByOtherWays(opened) == 0);
    WARN(fmt::format("{}: {} frames, {} of them marked as damaged", NameOf(file), expected.size(),
                     Damaged(*opened.table)));
  }
}

// Matroska's declared duration counts from its time zero: one that starts late does not end early for that.
TEST_CASE("A whole recording earns no caution about damage") {
  const TemporaryFolder cache;
  for (const char* name : {"bframes.mp4", "bframes.mkv", "bframes.ts", "with_sound.mp4",
                           "every_frame_key.avi", "starts_late.mkv", "starts_late.mp4"}) {
    const Opened opened = OpenVerified(MediaFolder() + "/files/" + name, cache.path());
    INFO(name);
    CHECK(Damaged(*opened.table) == 0);
    CHECK(opened.table->cautions().empty());
  }
}
