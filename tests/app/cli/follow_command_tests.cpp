// SPDX-License-Identifier: Apache-2.0
#include "tests/support/places.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

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
  CHECK(StatusOf(folder, "follow c --from 0.4 --to 0.4") == 2);
  CHECK(StatusOf(folder, "follow c --from soon") == 2);
  CHECK(StatusOf(folder, "follow c --doubtful 5000") == 2);
  // A picture without an eye, and no trail.
  CHECK(StatusOf(folder, "follow c") == 4);
  CHECK(StatusOf(folder, "follow c --json") == 4);
}

}  // namespace afterscope
