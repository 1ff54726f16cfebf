// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cstdio>
#include <cstdlib>

namespace afterscope {

TEST_CASE("Captions, chapters and steps of a case are written once and never over a file", "[commands]") {
  const TemporaryFolder folder;
  REQUIRE(std::system(fmt::format("ffmpeg -v error -f lavfi -i testsrc=d=1:s=64x48:r=25 {}", folder / "v.mp4")
                          .c_str()) == 0);
  Done(folder.path(), "new c --recording v.mp4 --set code=k1");
  Done(folder.path(), "tag c --step rhexis --at 0 --to 0.8");
  for (const char* what : {"--captions-of-case", "--chapters-of-case", "--steps-of-case"}) {
    const std::string call = fmt::format("clip c {} it", what);
    Done(folder.path(), call);
    const std::string first = BytesOf(folder / "it");
    const ForkedRun again = RunForked(folder.path(), call);
    CHECK(again.status == 5);
    CHECK(again.err.find("'it' is there already") != std::string::npos);
    CHECK(BytesOf(folder / "it") == first);
    REQUIRE(std::remove((folder / "it").c_str()) == 0);
  }
}

}  // namespace afterscope
