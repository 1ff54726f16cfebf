// SPDX-License-Identifier: Apache-2.0
#include "tests/annotate/media/media_support.hpp"

#include "tests/support/places.hpp"
#include "tests/support/run_program.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <sstream>
#include <stdexcept>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

std::vector<std::string> Lines(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  return lines;
}

}  // namespace

std::string Quoted(const std::string& path) { return "'" + path + "'"; }

std::string NameOf(const std::string& path) { return fs::path(path).filename(); }

std::string MediaFolder() {
  static const std::string folder = [] {
    const std::string made = fs::path(places::kProgram).parent_path().parent_path() / "test_media";
    const std::string command =
        "bash " + std::string(places::kTestSupport) + "/make_media.sh " + Quoted(made);
    if (std::system(command.c_str()) != 0) throw std::runtime_error("make_media.sh failed");
    return made;
  }();
  return folder;
}

std::vector<std::string> FilesIn(const std::string& folder) {
  std::vector<std::string> files;
  for (const auto& entry : fs::directory_iterator(folder)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

std::vector<std::string> DebianRecordings() {
  const std::string folder = MediaFolder() + "/debian";
  const std::string command =
      "mkdir -p " + Quoted(folder) + " && cd " + Quoted(folder) +
      " && for f in $(dpkg -L opencv-doc | grep -iE '\\.(avi|mp4|mpg|mkv|mov)(\\.gz)?$'); do n=$(basename $f "
      ".gz);"
      " if [ ! -e $n ]; then case $f in *.gz) zcat $f >$n.$$;; *) cp $f $n.$$;; esac; mv $n.$$ $n; fi; done";
  if (std::system(command.c_str()) != 0) throw std::runtime_error("opencv-doc is not installed");
  return FilesIn(folder);
}

std::vector<std::string> ReferenceHashes(const std::string& file) {
  std::vector<std::string> hashes;
  for (const std::string& line :
       Lines(OutputOf("ffmpeg -nostdin -v quiet -noautorotate -threads 1 -i " + Quoted(file) +
                      " -map 0:v:0 -autoscale 0 -vsync passthrough -f framehash -hash md5 -")))
    if (!line.starts_with('#')) hashes.push_back(line.substr(line.rfind(' ') + 1));
  return hashes;
}

std::vector<std::optional<std::int64_t>> ReferenceTicks(const std::string& file) {
  std::vector<std::optional<std::int64_t>> ticks;
  for (const std::string& line :
       Lines(OutputOf("ffprobe -v quiet -select_streams v:0 -show_frames -show_entries "
                      "frame=best_effort_timestamp -of default=nw=1:nk=1 " +
                      Quoted(file)))) {
    const bool number = !line.empty() && line.find_first_not_of("-0123456789") == std::string::npos;
    if (number) ticks.push_back(std::stoll(line));
    if (line == "N/A") ticks.push_back(std::nullopt);  // other lines describe side data
  }
  return ticks;
}

Opened OpenVerified(const std::string& file, const std::string& cache_folder) {
  Recording::Options options;
  options.cache_folder = cache_folder;
  auto recording = Recording::Open(file, options);
  INFO(file << (recording.ok() ? "" : recording.error().message));
  REQUIRE(recording.ok());
  auto table = (*recording)->WaitForTable(TableState::kVerified, {}, {});
  REQUIRE(table.ok());
  return {std::move(*recording), *table};
}

bool Says(const FrameTable& table, const std::string& words) {
  return std::any_of(table.cautions().begin(), table.cautions().end(),
                     [&](const std::string& caution) { return caution.find(words) != std::string::npos; });
}

}  // namespace afterscope
