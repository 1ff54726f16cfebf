// SPDX-License-Identifier: Apache-2.0
// What was written is read back by ffprobe and ffmpeg of Debian, which share no code of ours.
#include "annotate/media/video_writer.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <filesystem>
#include <sstream>
#include <vector>

using namespace afterscope;

namespace {

Picture MovingPicture(int width, int height, int number, FieldOrder fields = FieldOrder::kProgressive) {
  auto bytes = std::make_shared<std::vector<std::uint8_t>>(
      static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * 3 / 2, 128);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x)
      (*bytes)[static_cast<std::size_t>(y * width + x)] =
          static_cast<std::uint8_t>(40 + (x + 3 * y + 5 * number) % 160);
  Picture picture;
  picture.width = width;
  picture.height = height;
  picture.fields = fields;
  const std::uint8_t* data = bytes->data();
  picture.planes[0] = {data, width, width, height};
  picture.planes[1] = {data + width * height, width / 2, width / 2, height / 2};
  picture.planes[2] = {data + width * height * 5 / 4, width / 2, width / 2, height / 2};
  picture.owner = bytes;
  return picture;
}

std::vector<std::int64_t> TimestampsOf(const std::string& file) {
  std::istringstream lines(OutputOf(
      "ffprobe -v error -select_streams v:0 -show_entries frame=best_effort_timestamp -of csv=p=0 '" + file +
      "'"));
  std::vector<std::int64_t> out;
  for (std::string line; std::getline(lines, line);)
    if (!line.empty() && line[0] != 'N') out.push_back(std::stoll(line));
  return out;
}

std::string StreamEntry(const std::string& file, const std::string& which, const std::string& entry) {
  std::string text = OutputOf("ffprobe -v error -select_streams " + which + " -show_entries stream=" + entry +
                              " -of csv=p=0 '" + file + "'");
  return text.substr(0, text.find_first_of("\n,"));
}

std::size_t NamesIn(const std::string& folder) {
  std::size_t count = 0;
  for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator(folder)) ++count;
  return count;
}

VideoSettings SmallH264() {
  VideoSettings settings;
  settings.width = 160;
  settings.height = 120;
  settings.preset = "ultrafast";
  return settings;
}

}  // namespace

TEST_CASE("a variable frame rate keeps every timestamp") {
  const TemporaryFolder folder;
  const std::string file = folder / "vfr.mp4";
  VideoSettings settings = SmallH264();
  settings.preset = "veryfast";
  settings.b_pictures = GENERATE(0, 2);
  std::vector<std::int64_t> written;
  {
    auto writer = VideoWriter::Create(file, settings, std::nullopt);
    REQUIRE(writer.ok());
    std::int64_t at = 0;
    for (int i = 0; i < 60; ++i) {
      const std::int64_t duration = 3000 + 750 * ((i * 7) % 5);
      REQUIRE((*writer)->WritePicture(MovingPicture(160, 120, i), {at}, {duration}).ok());
      written.push_back(at);
      at += duration;
    }
    REQUIRE((*writer)->Finish().ok());
  }
  CHECK(StreamEntry(file, "v:0", "time_base") == "1/90000");
  CHECK(TimestampsOf(file) == written);
  // The last picture's own duration counts too: (59 * 7) % 5 == 3. With B-pictures the container, which
  // counts durations in order of decoding, can't say it.
  if (settings.b_pictures == 0)
    CHECK(StreamEntry(file, "v:0", "duration_ts") == std::to_string(written.back() + 3000 + 750 * 3));
  CHECK(NamesIn(folder.path()) == 1);
}

TEST_CASE("sound and picture in an MP4, tagged, and nothing that identifies anyone") {
  const TemporaryFolder folder;
  const std::string file = folder / "a.mp4";
  VideoSettings settings = SmallH264();
  settings.matrix = ColorMatrix::kBt709;
  auto writer = VideoWriter::Create(file, settings, SoundSettings{});
  REQUIRE(writer.ok());
  std::vector<float> second(48000);
  for (std::size_t i = 0; i < second.size(); ++i)
    second[i] = 0.3f * static_cast<float>(std::sin(0.0576 * static_cast<double>(i)));
  for (int i = 0; i < 50; ++i) {
    REQUIRE((*writer)->WritePicture(MovingPicture(160, 120, i), {i * 3600}, {3600}).ok());
    if (i % 25 == 0) REQUIRE((*writer)->WriteSound(second).ok());
  }
  REQUIRE((*writer)->Finish().ok());
  CHECK(TimestampsOf(file).size() == 50);
  CHECK(StreamEntry(file, "v:0", "codec_name") == "h264");
  CHECK(StreamEntry(file, "v:0", "color_space") == "bt709");
  CHECK(StreamEntry(file, "a:0", "codec_name") == "aac");
  CHECK(StreamEntry(file, "a:0", "duration_ts") == "96000");
  const std::string tags = OutputOf("ffprobe -v error -show_entries format_tags -of flat '" + file + "'");
  CHECK(tags.find("creation_time") == std::string::npos);
  CHECK(tags.find("encoder") == std::string::npos);
  CHECK(tags.find("title") == std::string::npos);
}

TEST_CASE("interlaced MPEG-2 says so, with its field order and pixel aspect") {
  const TemporaryFolder folder;
  for (const auto& [name, container] :
       {std::pair{"a.ts", WrittenContainer::kMpegTs}, std::pair{"a.mpg", WrittenContainer::kMpegPs}}) {
    const std::string file = folder / name;
    VideoSettings settings;
    settings.codec = WrittenVideo::kMpeg2;
    settings.container = container;
    settings.width = 720;
    settings.height = 576;
    settings.time_base = {1, 25};
    settings.pixel_aspect = {16, 15};
    settings.matrix = ColorMatrix::kBt601;
    settings.fields = FieldOrder::kTopFirst;
    auto writer = VideoWriter::Create(file, settings, SoundSettings{48000, 2, 128000});
    REQUIRE(writer.ok());
    const std::vector<float> sound(2 * 1920, 0.1f);
    for (int i = 0; i < 30; ++i) {
      REQUIRE((*writer)->WritePicture(MovingPicture(720, 576, i, FieldOrder::kTopFirst), {i}, {1}).ok());
      REQUIRE((*writer)->WriteSound(sound).ok());
    }
    REQUIRE((*writer)->Finish().ok());
    CHECK(StreamEntry(file, "v:0", "codec_name") == "mpeg2video");
    CHECK(StreamEntry(file, "v:0", "field_order") == "tt");
    CHECK(StreamEntry(file, "v:0", "sample_aspect_ratio") == "16:15");
    CHECK(StreamEntry(file, "v:0 -count_frames", "nb_read_frames") == "30");
    const auto at = TimestampsOf(file);
    // A program stream has timestamps only where one of its packets begins.
    if (container == WrittenContainer::kMpegPs) continue;
    REQUIRE(at.size() == 30);
    for (std::size_t i = 1; i < at.size(); ++i) CHECK(at[i] - at[i - 1] == 3600);
    const std::string flags =
        OutputOf("ffprobe -v error -select_streams v:0 -show_entries frame=interlaced_frame -of csv=p=0 '" +
                 file + "' | grep . | sort -u");
    CHECK(flags[0] == '1');
    CHECK(flags.find('0') == std::string::npos);
  }
}

TEST_CASE("stopped in the middle it leaves nothing, and what was there stays") {
  const TemporaryFolder folder;
  const std::string file = folder / "a.mp4";
  for (const bool before : {false, true}) {
    if (before) {
      auto first = VideoWriter::Create(file, SmallH264(), std::nullopt);
      REQUIRE(first.ok());
      REQUIRE((*first)->WritePicture(MovingPicture(160, 120, 0), {0}, {3600}).ok());
      REQUIRE((*first)->Finish().ok());
    }
    auto writer = VideoWriter::Create(file, SmallH264(), SoundSettings{});
    REQUIRE(writer.ok());
    for (int i = 0; i < 40; ++i)
      REQUIRE((*writer)->WritePicture(MovingPicture(160, 120, i), {i * 3600}, {3600}).ok());
    CHECK(NamesIn(folder.path()) == (before ? 2 : 1));
    *writer = nullptr;
    CHECK(NamesIn(folder.path()) == (before ? 1 : 0));
  }
  CHECK(TimestampsOf(file).size() == 1);
}

TEST_CASE("a wrong size, a step back in time, a folder that is not there: one sentence each") {
  const TemporaryFolder folder;
  auto writer = VideoWriter::Create(folder / "a.mp4", SmallH264(), std::nullopt);
  REQUIRE(writer.ok());
  REQUIRE((*writer)->WritePicture(MovingPicture(160, 120, 0), {100}, {100}).ok());
  CHECK((*writer)->WritePicture(MovingPicture(160, 120, 1), {100}, {100}).error().code ==
        ErrorCode::kBadCall);
  CHECK((*writer)->WritePicture(MovingPicture(80, 60, 1), {200}, {100}).error().code == ErrorCode::kBadCall);
  CHECK(VideoWriter::Create(folder / "none/a.mp4", SmallH264(), std::nullopt).error().code ==
        ErrorCode::kUnwritable);
  VideoSettings odd = SmallH264();
  odd.width = 161;
  CHECK(VideoWriter::Create(folder / "b.mp4", odd, std::nullopt).error().code == ErrorCode::kBadCall);
}
