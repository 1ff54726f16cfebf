// SPDX-License-Identifier: Apache-2.0
#include "tests/app/desktop/player/player_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cstdlib>

namespace afterscope {

std::string MovingRecording(const TemporaryFolder& folder, const std::string& name, int seconds) {
  const std::string file = folder / name;
  const std::string command = fmt::format(
      "ffmpeg -nostdin -v error -f lavfi -i testsrc2=size=640x480:rate=25:duration={} -c:v libx264 -preset "
      "ultrafast -g 125 -keyint_min 125 -sc_threshold 0 -bf 2 -pix_fmt yuv420p '{}'",
      seconds, file);
  REQUIRE(std::system(command.c_str()) == 0);
  return file;
}

std::shared_ptr<Recording> Opened(const std::string& file, const std::string& cache) {
  Recording::Options options;
  options.cache_folder = cache;
  auto opened = Recording::Open(file, options);
  REQUIRE(opened.ok());
  return std::move(*opened);
}

}  // namespace afterscope
