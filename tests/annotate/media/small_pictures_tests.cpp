// SPDX-License-Identifier: Apache-2.0
// Key frames against the pictures that the same recordings give by their exact way (which other tests compare
// with the ffmpeg program), and the file in which small ones are kept.
#include "annotate/media/background_pictures.hpp"
#include "annotate/media/picture_check.hpp"
#include "annotate/media/small_picture_file.hpp"
#include "metrics/picture/shrink.hpp"
#include "tests/annotate/media/media_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <set>

using namespace afterscope;

namespace {

std::string File(const char* name) { return MediaFolder() + "/files/" + name; }

std::vector<Picture> ShrunkFrames(Recording& recording, int count) {
  std::vector<Picture> pictures;
  const Status swept = recording.Sweep({INT64_MIN / 4},
                                       [&](const Picture& picture) {
                                         pictures.push_back(ShrinkPicture(picture, 40));
                                         return static_cast<int>(pictures.size()) < count;
                                       },
                                       {});
  REQUIRE(swept.ok());
  return pictures;
}

}  // namespace

TEST_CASE("Key frames are found by time, each once, and are the frames that they say", "[media]") {
  const TemporaryFolder cache;
  for (const char* name :
       {"bframes.mp4", "bframes.mkv", "bframes.ts", "open_gop.mp4", "vfr.mp4", "interlaced_mpeg2.ts",
        "every_frame_key.avi", "ten_bit_hevc.mp4", "starts_late.mp4"}) {
    INFO(name);
    const Opened opened = OpenVerified(File(name), cache.path());
    std::vector<Pts> times;
    for (const FrameEntry& frame : opened.table->frames()) times.push_back(frame.pts);
    std::set<Pts> seen;
    const Status visited = VisitKeyFrames(*opened.recording, times,
                                          [&](const Picture& picture) {
                                            INFO("ticks " << picture.frame.pts.ticks);
                                            CHECK(seen.insert(picture.frame.pts).second);
                                            const auto index = opened.table->Exactly(picture.frame.pts);
                                            REQUIRE(index);
                                            CHECK((*opened.table)[*index].key);
                                            const auto exact = opened.recording->Frame(*index, {});
                                            REQUIRE(exact.ok());
                                            CHECK(PictureCheck(*exact) == PictureCheck(picture));
                                            return true;
                                          },
                                          {});
    CHECK(visited.ok());
    std::set<Pts> keys;
    for (const FrameEntry& frame : opened.table->frames())
      if (frame.key) keys.insert(frame.pts);
    CHECK(seen.size() + 1 >= keys.size());  // the very first may be out of a transport stream's reach
    CHECK(seen.size() >= 3);
  }
}

TEST_CASE("Looking for key frames ends when the visitor or the user says so", "[media]") {
  const TemporaryFolder cache;
  const Opened opened = OpenVerified(File("every_frame_key.avi"), cache.path());
  int seen = 0;
  CHECK(VisitKeyFrames(*opened.recording, {{0}, {20}, {40}}, [&](const Picture&) { return ++seen < 2; }, {})
            .ok());
  CHECK(seen == 2);
  const Status stopped = VisitKeyFrames(
      *opened.recording, {{0}}, [](const Picture&) { return true; }, [] { return true; });
  REQUIRE_FALSE(stopped.ok());
  CHECK(stopped.error().code == ErrorCode::kStopped);
  CHECK(VisitKeyFrames(*opened.recording, {}, [](const Picture&) { return true; }, {}).ok());
}

TEST_CASE("Small pictures are kept as they are, for one recording", "[media]") {
  const TemporaryFolder folder;
  for (const char* name : {"bframes.mp4", "ten_bit_hevc.mp4", "gray.avi"}) {
    INFO(name);
    Recording::Options options;
    options.build_table = false;
    const auto recording = Recording::Open(File(name), options);
    REQUIRE(recording.ok());
    const auto pictures = ShrunkFrames(**recording, 5);
    SaveSmallPictures(RealFileSystem(), folder / "cache", name, pictures);
    const auto kept = LoadSmallPictures(RealFileSystem(), folder / "cache", name, 3);
    REQUIRE(kept.size() == pictures.size());
    for (std::size_t i = 0; i < kept.size(); ++i) {
      CHECK(kept[i].frame.recording == 3);
      CHECK(kept[i].frame.pts == pictures[i].frame.pts);
      CHECK(kept[i].duration == pictures[i].duration);
      CHECK(kept[i].format == pictures[i].format);
      CHECK(kept[i].width == pictures[i].width);
      CHECK(PictureCheck(kept[i]) == PictureCheck(pictures[i]));
    }
    CHECK(LoadSmallPictures(RealFileSystem(), folder / "cache", "another", 3).empty());
  }
}

TEST_CASE("Kept pictures that were cut or changed are not believed", "[media]") {
  const TemporaryFolder folder;
  Recording::Options options;
  options.build_table = false;
  const auto recording = Recording::Open(File("bframes.mp4"), options);
  REQUIRE(recording.ok());
  SaveSmallPictures(RealFileSystem(), folder.path(), "k", ShrunkFrames(**recording, 2));
  const std::string path = folder / "k.small";
  const auto size = std::filesystem::file_size(path);
  std::ifstream stream(path, std::ios::binary);
  const std::string whole((std::istreambuf_iterator<char>(stream)), {});
  for (std::size_t at = 0; at < size; at += 7) {
    std::string changed = whole;
    changed[at] = static_cast<char>(changed[at] ^ 4);
    std::ofstream(path, std::ios::binary) << changed;
    CHECK(LoadSmallPictures(RealFileSystem(), folder.path(), "k", 0).empty());
    std::ofstream(path, std::ios::binary) << whole.substr(0, at);
    CHECK(LoadSmallPictures(RealFileSystem(), folder.path(), "k", 0).empty());
  }
  std::ofstream(path, std::ios::binary) << whole;
  CHECK(LoadSmallPictures(RealFileSystem(), folder.path(), "k", 0).size() == 2);
}
