// SPDX-License-Identifier: Apache-2.0
// Every frame of every recording against the ffmpeg and ffprobe programs of the same Debian (framehash muxer,
// best_effort_timestamp). Not generated here, so untested: field-coded (PAFF) pictures, encrypted recordings.
#include "annotate/media/picture_check.hpp"
#include "annotate/media/recording.hpp"
#include "tests/annotate/media/media_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <random>

using namespace afterscope;

namespace {

// Timestamps are ffprobe's. Where it has none, they are made up; behind a jump back they are moved by one
// amount; one that is not after its predecessor's by less than a second is put one tick after it. Each of
// these is said.
void CheckTicks(const FrameTable& table, const std::vector<std::optional<std::int64_t>>& expected) {
  constexpr double kJumpSeconds = 1;
  REQUIRE(table.size() == static_cast<std::int64_t>(expected.size()));
  std::int64_t moved = 0;
  std::optional<std::int64_t> last;
  for (FrameIndex i; i.value < table.size(); ++i.value) {
    const auto& reference = expected[static_cast<std::size_t>(i.value)];
    INFO("frame " << i.value);
    if (i.value > 0) CHECK(table[{i.value - 1}].pts < table[i].pts);
    if (!reference) {
      CHECK(Says(table, "reconstructed"));
      continue;
    }
    const bool back = last && *reference <= *last;
    if (back && static_cast<double>(*last - *reference) * table.time_base().value() < kJumpSeconds) {
      CHECK(Says(table, "one tick after"));
      CHECK(table[i].pts.ticks == table[{i.value - 1}].pts.ticks + 1);
      continue;
    }
    if (back) {
      CHECK(Says(table, "jump back"));
      moved = table[i].pts.ticks - *reference;
    }
    CHECK(table[i].pts.ticks == *reference + moved);
    last = reference;
  }
}

std::size_t WrongInOrder(Recording& recording, const std::vector<std::string>& expected) {
  std::size_t wrong = 0;
  for (std::size_t i = 0; i < expected.size(); ++i) {
    const auto hash = recording.FrameHash(FrameIndex{static_cast<std::int64_t>(i)}, {});
    if (!hash.ok() || *hash != expected[i]) ++wrong;
  }
  return wrong;
}

std::size_t WrongByJumps(Recording& recording, const std::vector<std::string>& expected, int jumps) {
  std::mt19937 random(1);
  std::uniform_int_distribution<std::int64_t> frame(0, static_cast<std::int64_t>(expected.size()) - 1);
  std::size_t wrong = 0;
  for (int jump = 0; jump < jumps; ++jump) {
    const std::int64_t index = frame(random);
    const auto hash = recording.FrameHash(FrameIndex{index}, {});
    if (!hash.ok() || *hash != expected[static_cast<std::size_t>(index)]) ++wrong;
  }
  return wrong;
}

// Playing, stepping back and jumping give the same pictures.
std::size_t WrongPictures(Recording& recording, const FrameTable& table) {
  std::vector<std::uint64_t> played;
  const Status swept =
      recording.Sweep(table.begin(),
                      [&](const Picture& picture) {
                        if (picture.frame.pts != table[{static_cast<std::int64_t>(played.size())}].pts)
                          return false;
                        played.push_back(PictureCheck(picture));
                        return true;
                      },
                      {});
  if (!swept.ok() || static_cast<std::int64_t>(played.size()) != table.size()) return played.size() + 1;
  std::size_t wrong = 0;
  for (std::int64_t i = table.size() - 1; i >= 0; --i) {
    const auto picture = recording.Frame(FrameIndex{i}, {});
    if (!picture.ok() || picture->frame.pts != table[{i}].pts ||
        PictureCheck(*picture) != played[static_cast<std::size_t>(i)])
      ++wrong;
  }
  return wrong;
}

constexpr int kJumps = 40;       // in each recording
constexpr int kManyJumps = 200;  // of tests that run.sh runs with --all alone

void CheckExact(const std::vector<std::string>& files, const std::string& kind, int jumps) {
  const TemporaryFolder cache;
  std::size_t frames = 0;
  for (const std::string& file : files) {
    INFO(file);
    const Opened opened = OpenVerified(file, cache.path());
    CheckTicks(*opened.table, ReferenceTicks(file));
    const auto expected = ReferenceHashes(file);
    REQUIRE(opened.table->size() == static_cast<std::int64_t>(expected.size()));
    CHECK(WrongInOrder(*opened.recording, expected) == 0);
    CHECK(WrongByJumps(*opened.recording, expected, jumps) == 0);
    CHECK(WrongPictures(*opened.recording, *opened.table) == 0);
    frames += expected.size();
  }
  WARN(fmt::format("{}: {} files, {} frames, {} random jumps", kind, files.size(), frames,
                   files.size() * static_cast<std::size_t>(jumps)));
}

}  // namespace

TEST_CASE("Every frame of generated recordings is exact, first half") {
  auto files = FilesIn(MediaFolder() + "/files");
  REQUIRE(files.size() >= 25);
  files.resize(files.size() / 2);
  CheckExact(files, "generated, first half", kJumps);
}

TEST_CASE("Every frame of generated recordings is exact, second half") {
  auto files = FilesIn(MediaFolder() + "/files");
  REQUIRE(files.size() >= 25);
  files.erase(files.begin(), files.begin() + static_cast<std::ptrdiff_t>(files.size() / 2));
  CheckExact(files, "generated, second half", kJumps);
}

TEST_CASE("Every frame of recordings that nobody here made is exact") {
  const auto files = DebianRecordings();
  REQUIRE(files.size() >= 4);
  CheckExact(files, "opencv-doc", kJumps);
}

TEST_CASE("However often a recording is jumped in, the frames are exact", "[.jumps]") {
  CheckExact(FilesIn(MediaFolder() + "/files"), "generated", kManyJumps);
  CheckExact(DebianRecordings(), "opencv-doc", kManyJumps);
}
