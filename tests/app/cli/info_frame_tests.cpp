// SPDX-License-Identifier: Apache-2.0
// `info` and `frame` as a user calls them, against the ffmpeg and ffprobe programs.

#include "tests/support/places.hpp"
#include "tests/support/png_file.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <opencv2/core.hpp>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <sstream>

using namespace afterscope;

namespace {

std::string Media(const std::string& name) {
  static const std::string folder = [] {
    const std::string made =
        std::filesystem::path(places::kProgram).parent_path().parent_path() / "test_media";
    REQUIRE(std::system(
                ("bash " + std::string(places::kTestSupport) + "/make_media.sh '" + made + "'").c_str()) ==
            0);
    return made;
  }();
  return "'" + folder + "/" + name + "'";
}

struct FrameRun {
  int status = -1;
  std::string output;
};

FrameRun Afterscope(const std::string& arguments) {
  static const TemporaryFolder cache;
  FrameRun ran;
  int ended = 0;
  ran.output = OutputOf(
      "XDG_CACHE_HOME='" + cache.path() + "' '" + places::kProgram + "' " + arguments + " 2>&1", &ended);
  ran.status = ended;
  return ran;
}

std::vector<std::string> Lines(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  return lines;
}

}  // namespace

TEST_CASE("info --frames prints ffprobe's timestamps and key frames in order") {
  const auto ours = Lines(Afterscope("info --frames " + Media("files/vfr.mp4")).output);
  const auto theirs =
      Lines(OutputOf("ffprobe -v quiet -select_streams v:0 -show_entries "
                     "frame=best_effort_timestamp,best_effort_timestamp_time,key_frame -of csv=p=0 " +
                     Media("files/vfr.mp4") + " | sed 's/,*$//' | grep ,"));
  REQUIRE(ours.size() == theirs.size() + 1);
  CHECK(ours[0] == "index\tticks\tseconds\tkey");
  for (std::size_t i = 0; i < theirs.size(); ++i) {
    std::istringstream reference(theirs[i]);  // key, ticks, seconds
    std::string key, ticks, seconds;
    std::getline(reference, key, ',');
    std::getline(reference, ticks, ',');
    std::getline(reference, seconds, ',');
    CHECK(ours[i + 1] == std::to_string(i) + "\t" + ticks + "\t" + seconds + "\t" + key);
  }
}

TEST_CASE("info says how long frames last, by ffprobe's timestamps") {
  for (const auto& [file, even] : {std::pair{"files/vfr.mp4", false}, std::pair{"files/bframes.mp4", true}}) {
    const auto info = nlohmann::json::parse(Afterscope("info --json " + Media(file)).output);
    double shortest = 1e9, longest = 0, last = -1;
    for (const std::string& line : Lines(OutputOf("ffprobe -v quiet -select_streams v:0 -show_entries "
                                                  "frame=best_effort_timestamp_time -of default=nw=1:nk=1 " +
                                                  Media(file)))) {
      const double now = std::atof(line.c_str());
      if (last >= 0) shortest = std::min(shortest, now - last), longest = std::max(longest, now - last);
      last = now;
    }
    INFO(file << ": " << shortest << " to " << longest);
    CHECK(info["frame_intervals"]["shortest_seconds"] == Approx(shortest).margin(2e-6));
    CHECK(info["frame_intervals"]["longest_seconds"] == Approx(longest).margin(2e-6));
    const std::string said = Afterscope("info " + Media(file)).output;
    CHECK(said.find(even ? "rate       even, 24 frames a second" : "rate       varies: 0.0417 to ") !=
          std::string::npos);
  }
}

// ffprobe: field_order tt (top field coded and shown first), bb; color_space, color_range.
TEST_CASE("info says colours and fields as ffprobe does") {
  const TemporaryFolder folder;
  const auto encode = [&](const std::string& options, const std::string& name) {
    const std::string made = folder / name;
    REQUIRE(std::system(("ffmpeg -v error -f lavfi -i testsrc=d=0.4:s=720x576:r=25 -pix_fmt yuv420p " +
                         options + " " + made)
                            .c_str()) == 0);
    return made;
  };
  const auto probed = [](const std::string& file, const std::string& entry) {
    return OutputOf("ffprobe -v quiet -select_streams v:0 -show_entries stream=" + entry +
                    " -of default=nw=1:nk=1 " + file + " | head -1 | tr -d '\n'");
  };
  const std::string top = encode("-c:v mpeg2video -flags +ilme+ildct -top 1", "top.mpg");
  const std::string bottom = encode("-c:v mpeg2video -flags +ilme+ildct -top 0", "bottom.mpg");
  const std::string high = encode("-c:v libx264 -colorspace bt709 -color_range pc", "high.mp4");
  REQUIRE(probed(top, "field_order") == "tt");
  REQUIRE(probed(bottom, "field_order") == "bb");
  REQUIRE(probed(high, "color_space") == "bt709");
  REQUIRE(probed(high, "color_range") == "pc");
  const auto said = [](const std::string& file) {
    return nlohmann::json::parse(Afterscope("info --quick --json " + file).output);
  };
  CHECK(said(top)["fields"] == "interlaced, top field first");
  CHECK(said(bottom)["fields"] == "interlaced, bottom field first");
  CHECK(said(high)["fields"] == "progressive");
  CHECK(said(high)["colour_matrix"] == "BT.709");
  CHECK(said(high)["colour_range"] == "full");
  CHECK(said(top)["colour_matrix"] == "BT.601");
  CHECK(said(top)["colour_range"] == "limited");
  const std::string text = Afterscope("info " + high).output;
  CHECK(text.find("  colour     BT.709, full range\n  fields     progressive\n") != std::string::npos);
}

TEST_CASE("frame --hash is framehash's MD5, by index and by ticks") {
  const std::string hash = OutputOf(
      "ffmpeg -nostdin -v quiet -noautorotate -threads 1 -i " + Media("files/bframes.ts") +
      " -map 0:v:0 -vsync passthrough -f framehash -hash md5 - | grep -v '#' | sed -n 31p | sed 's/.*, //'");
  const FrameRun by_index = Afterscope("frame " + Media("files/bframes.ts") + " --index 30 --hash");
  CHECK(by_index.status == 0);
  CHECK(by_index.output == hash);
  const std::string ticks = OutputOf(
      "ffprobe -v quiet -select_streams v:0 -show_entries frame=best_effort_timestamp -of "
      "default=nw=1:nk=1 " +
      Media("files/bframes.ts") + " | grep -E '^[0-9]+$' | sed -n 31p | tr -d '\\n'");
  CHECK(Afterscope("frame " + Media("files/bframes.ts") + " --ticks " + ticks + " --hash").output == hash);
}

TEST_CASE("frame -o writes the picture with the colours that ffmpeg gives it") {
  const TemporaryFolder folder;
  REQUIRE(Afterscope("frame " + Media("files/bframes.mp4") + " --index 20 -o '" + (folder / "ours.png") + "'")
              .status == 0);
  const cv::Mat ours = testing::ReadPngFile(folder / "ours.png");
  // Share of pixels that differ by more than 5 levels from what ffmpeg converts by this matrix.
  const auto different = [&](const std::string& matrix) {
    const std::string theirs_file = folder / (matrix + ".png");
    REQUIRE(std::system(("ffmpeg -nostdin -v quiet -i " + Media("files/bframes.mp4") +
                         " -vf \"select=eq(n\\,20),scale=in_color_matrix=" + matrix +
                         ":flags=bilinear+accurate_rnd+full_chroma_int\" -frames:v 1 -pix_fmt rgb24 '" +
                         theirs_file + "'")
                            .c_str()) == 0);
    const cv::Mat theirs = testing::ReadPngFile(theirs_file);
    REQUIRE(ours.size() == theirs.size());
    cv::Mat difference;
    cv::absdiff(ours, theirs, difference);
    int count = 0;
    for (auto pixel = difference.begin<cv::Vec3b>(); pixel != difference.end<cv::Vec3b>(); ++pixel)
      count += std::max({(*pixel)[0], (*pixel)[1], (*pixel)[2]}) > 5 ? 1 : 0;
    return count / static_cast<double>(difference.total());
  };
  // The file names no matrix; a small picture is then BT.601. Chroma is interpolated in another way at the
  // hard edges of the test picture, which is a fifth of its pixels; a wrong matrix shows nearly everywhere.
  CHECK(different("bt601") < 0.3);
  CHECK(different("bt709") > 0.7);
}

TEST_CASE("info and frame say what is wrong in one sentence with the right exit status") {
  const TemporaryFolder folder;
  const auto check = [](const std::string& arguments, int status) {
    INFO(arguments);
    const FrameRun ran = Afterscope(arguments);
    CHECK(ran.status == status);
    CHECK(Lines(ran.output).size() == 1);
  };
  const std::string good = Media("files/bframes.mp4");
  check("info '" + (folder / "absent.mp4") + "'", 3);
  check("info '" + folder.path() + "'", 3);
  check("frame " + good + " --index 96 --hash", 2);
  check("frame " + good + " --index -1 --hash", 2);
  check("frame " + good + " --ticks 1 --hash", 2);
  check("frame " + good + " --index 1", 2);
  check("frame " + good + " --hash", 2);
  check("frame " + good + " --index 1 -o '" + (folder / "no/folder/x.png") + "'", 5);
  check("frame " + good + " --index 1 -o " + good, 5);
}

TEST_CASE("info --json tells damage and the last good frame, with status 0") {
  const FrameRun ran = Afterscope("info --json " + Media("damaged/cut_long.mkv"));
  CHECK(ran.status == 0);
  const auto info = nlohmann::json::parse(ran.output);
  CHECK(info["verified"] == true);
  CHECK(info["frame_count"] > 60);
  REQUIRE_FALSE(info["cautions"].empty());
  CHECK(info["cautions"].dump().find("last good frame") != std::string::npos);
}
