// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>

namespace afterscope {
namespace {

// The case "c": one second, with a step.
void MakeTaggedCase(const TemporaryFolder& folder) {
  REQUIRE(std::system(fmt::format("ffmpeg -v error -f lavfi -i testsrc=d=1:s=64x48:r=25 {}", folder / "v.mp4")
                          .c_str()) == 0);
  Done(folder.path(), "new c --recording v.mp4 --set code=k1 --set consent.review=given");
  Done(folder.path(), "tag c --step rhexis --at 0 --to 0.8");
}

}  // namespace

TEST_CASE("Captions, chapters and steps of a case are written once and never over a file", "[commands]") {
  const TemporaryFolder folder;
  MakeTaggedCase(folder);
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

TEST_CASE("A clip's parts are asked for in one way, and nothing that was said is passed over", "[commands]") {
  const TemporaryFolder folder;
  MakeTaggedCase(folder);
  const auto refusal = [&](const char* arguments) {
    const ForkedRun run = RunForked(folder.path(), fmt::format("clip c {} -o it.mp4", arguments));
    INFO(arguments << ": " << run.err);
    CHECK(run.status == 2);
    CHECK_FALSE(std::filesystem::exists(folder / "it.mp4"));
    return run.err;
  };
  for (const char* twice : {"--step rhexis --from 0.2", "--step rhexis --moment m1", "--from 0 --take t1",
                            "--plan one --step rhexis", ""})
    CHECK(Has(refusal(twice), "Say in one way what the clip shows"));
  CHECK(Has(refusal("--step rhexis --words now"), "--words goes with"));
  CHECK(Has(refusal("--step rhexis --sound-file talk.wav"), "--sound-file goes with"));
  for (const char* more : {"--takes --step rhexis", "--find-text --step rhexis", "--remove-take t1 --take t1",
                           "--captions-of-case it --from 0", "--take t1 --words now"})
    CHECK(Has(refusal(more), "one thing at a time"));
  for (const char* said : {"--speed 2", "--trail", "--title T", "--sound file --sound-file talk.wav"})
    CHECK(Has(refusal(fmt::format("--plan one {}", said).c_str()), "is not for a kept plan"));
  Done(folder.path(), "clip c --step rhexis --size 128x96 --purpose review -o it.mp4");
  CHECK(std::filesystem::exists(folder / "it.mp4"));
}

}  // namespace afterscope
