// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/phantom_cases.hpp"
#include "tests/support/places.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <cstdlib>
#include <string>
#include <sys/wait.h>

namespace afterscope {
namespace {

int StatusOf(const TemporaryFolder& folder, const std::string& arguments) {
  const std::string command =
      "cd " + folder.path() + " && " + places::kProgram + " " + arguments + " > /dev/null 2>&1";
  return WEXITSTATUS(std::system(command.c_str()));
}

}  // namespace

TEST_CASE("The command follow says by its exit status why it can't", "[commands][follow]") {
  const TemporaryFolder folder;
  REQUIRE(std::system(
              ("ffmpeg -v error -f lavfi -i color=gray:d=1:s=160x120:r=25 -c:v libx264 " + (folder / "v.mp4"))
                  .c_str()) == 0);
  REQUIRE(StatusOf(folder, "new c --recording v.mp4") == 0);
  CHECK(StatusOf(folder, "follow nowhere") == 3);
  CHECK(StatusOf(folder, "follow c --trail t9") == 2);
  CHECK(StatusOf(folder, "follow c --eye --trail t1") == 2);
  CHECK(StatusOf(folder, "follow c --from 0.4 --to 0.4") == 2);
  CHECK(StatusOf(folder, "follow c --from soon") == 2);
  CHECK(StatusOf(folder, "follow c --doubtful 5000") == 2);
  // A picture without an eye, and no trail.
  CHECK(StatusOf(folder, "follow c") == 4);
  CHECK(StatusOf(folder, "follow c --json") == 4);
}

// Of 60 frames, 20 to 34 are grey.
TEST_CASE("The command follow lists where the eye was lost and the tip has no place", "[commands][follow]") {
  const TemporaryFolder folder;
  const ToolStretch stretch(60);
  Recorded(stretch.phantom, stretch.seconds, folder / "a.mp4");
  REQUIRE(std::system(fmt::format("ffmpeg -v error -i {} -vf "
                                  "\"drawbox=color=gray:t=fill:enable='between(n,20,34)'\" -c:v libx264 -crf "
                                  "16 {}",
                                  folder / "a.mp4", folder / "v.mp4")
                          .c_str()) == 0);
  Done(folder.path(), "new c --recording v.mp4");
  std::string points;
  for (const std::size_t i : {std::size_t{8}, std::size_t{45}})
    points += fmt::format(" f{},{},{}", i, stretch.tips[i].x, stretch.tips[i].y);
  Done(folder.path(), "tag c --trail t1 --trail-points" + points);
  CHECK(StatusOf(folder, "tag c --trail t1 --trail-points f8,1,2,3") == 2);
  const PointPx tip = stretch.tips[8];
  CHECK(StatusOf(folder, fmt::format("tag c --trail t1 --trail-points f8,{0},{1},{0},{1}", tip.x, tip.y)) ==
        2);
  const auto json = nlohmann::json::parse(Done(folder.path(), "follow c --json"));
  const auto within = [](const nlohmann::json& run) {
    return run["from"]["seconds"] <= 0.8001 && run["to"]["seconds"] >= 1.3999;
  };
  const auto& lost = json["eyes"][0]["lost"];
  REQUIRE(lost.size() == 1);
  CHECK(within(lost[0]));
  CHECK(lost[0]["frames"] == std::lround(lost[0]["seconds"].get<double>() * 25));
  CHECK(lost[0]["frames"] <= 18);  // and found again soon after
  const auto& trail = json["trails"][0];
  int missing = 0, round_grey = 0;
  for (const auto& run : trail["gaps"]) missing += run["frames"].get<int>(), round_grey += within(run);
  CHECK(round_grey == 1);
  CHECK(missing + std::lround(60 * trail["believed_share"].get<double>()) == 60);
  const std::string table = Done(folder.path(), "follow c");
  CHECK(Has(table, "  lost, the end not included:\n"));
  CHECK(Has(table, "  no believed place, the end not included:\n"));
  CHECK(Has(table, fmt::format(" {} frames, {:.2f} s\n", lost[0]["frames"].get<int>(),
                               lost[0]["seconds"].get<double>())));
}

}  // namespace afterscope
