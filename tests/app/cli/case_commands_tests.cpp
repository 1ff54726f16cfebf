// SPDX-License-Identifier: Apache-2.0
#include "tests/support/places.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <sys/stat.h>
#include <sys/wait.h>

namespace afterscope {
namespace {

struct Ran {
  int status = 0;
  std::string output;  // standard output and error
};

// Runs the program in a folder.
Ran Run(const TemporaryFolder& folder, const std::string& arguments) {
  const std::string command = "cd " + folder.path() + " && " + places::kProgram + " " + arguments + " 2>&1";
  std::FILE* pipe = ::popen(command.c_str(), "r");
  REQUIRE(pipe);
  Ran ran;
  char block[4096];
  for (std::size_t n = 0; (n = std::fread(block, 1, sizeof block, pipe)) > 0;) ran.output.append(block, n);
  ran.status = WEXITSTATUS(::pclose(pipe));
  return ran;
}

bool Has(const Ran& ran, const std::string& text) { return ran.output.find(text) != std::string::npos; }

void Write(const std::string& path, const std::string& text) {
  std::ofstream(path, std::ios::binary) << text;
}

}  // namespace

TEST_CASE("A recording becomes a tagged case by commands, and stays as it was", "[commands]") {
  const TemporaryFolder folder;
  REQUIRE(std::system(("ffmpeg -v error -f lavfi -i testsrc=d=8:s=160x120:r=25 -c:v libx264 -g 50 " +
                       (folder / "v.mp4"))
                          .c_str()) == 0);
  struct stat before {};
  REQUIRE(::stat((folder / "v.mp4").c_str(), &before) == 0);
  CHECK(Run(folder, "new c --recording v.mp4 --set eye=right --set supervisor_code=s1").status == 0);
  CHECK(Run(folder, "new c --recording v.mp4").status == 5);
  CHECK(Run(folder, "new d --recording nothing.mp4").status == 3);
  CHECK(Run(folder, "new d --recording v.mp4 --set eye=middle").status == 2);
  CHECK(Run(folder, "tag c --step rhexis --at f25").status == 0);
  CHECK(Run(folder, "tag c --take-over 2").status == 0);
  CHECK(Run(folder, "tag c --end-step end").status == 0);
  CHECK(Run(folder, "tag c --step lens --at 99").status == 2);
  CHECK(Run(folder, "tag c --step lens --at soon").status == 2);
  CHECK(Run(folder, "tag nowhere --list").status == 3);
  // Frame 25 of 25 a second lies at 1 s.
  const Ran list = Run(folder, "tag c --list");
  CHECK(Has(list, "0:00:01.000\t0:00:02.000\t1.000\trhexis"));
  CHECK(Has(list, "0:00:02.000\t0:00:08.000\t6.000\trhexis\ttaken over by s1"));
  CHECK(Run(folder, "tag c --undo --undo --redo").status == 0);
  CHECK(Has(Run(folder, "tag c --list"), "open"));
  CHECK(Run(folder, "check c --full").status == 0);
  CHECK(Has(Run(folder, "check c --full"), "verified"));
  struct stat after {};
  REQUIRE(::stat((folder / "v.mp4").c_str(), &after) == 0);
  CHECK(before.st_ino == after.st_ino);
  CHECK(before.st_mtim.tv_nsec == after.st_mtim.tv_nsec);
  Write(folder / "v.mp4", "something else");
  const Ran changed = Run(folder, "check c");
  CHECK(changed.status == 1);
  CHECK(Has(changed, "different"));
  CHECK(Run(folder, "tag c --moment remark --at 3 --text works").status == 0);
}

TEST_CASE("One table makes many cases, and edits come from standard input", "[commands]") {
  const TemporaryFolder folder;
  Write(folder / "steps.csv", "VideoID;FrameNo;Phase\n1;0;a\n1;50;b\n2;5;a\n");
  Write(folder / "videos.csv", "VideoID;Frames;FPS;Surgeon;Experience\n1;100;25;3;2\n2;90;25;1;1\n");
  const std::string call =
      "import shelf --steps steps.csv --columns case=VideoID start=FrameNo step=Phase --case-table "
      "videos.csv --case-columns case=VideoID total=Frames rate=FPS operator=Surgeon";
  CHECK(Run(folder, call).status == 0);
  CHECK(Has(Run(folder, "tag shelf/1 --list"), "0:00:02.000\t0:00:04.000\t2.000\tb"));
  CHECK(Has(Run(folder, "tag shelf/1 --json"), "\"Experience\":\"2\""));
  CHECK(Has(Run(folder, "tag shelf/2 --json"), "\"operator_code\": \"1\""));
  CHECK(Run(folder, call).status == 5);
  CHECK(Run(folder, "check shelf").status == 0);
  Write(folder / "edits.json",
        R"({"edits":[{"put_moment":{"at":{"recording":0,"ticks":3},"kind":"remark","text":"x"}}]})");
  CHECK(Run(folder, "tag shelf/1 --edits - < edits.json").status == 0);
  CHECK(Has(Run(folder, "tag shelf/1 --list"), "remark\t0:00:00.120"));
  Write(folder / "edits.json",
        R"({"edits":[{"put_moment":{"at":{"recording":7,"ticks":3},"kind":"remark"}}]})");
  CHECK(Run(folder, "tag shelf/1 --edits edits.json").status == 2);
  Write(folder / "edits.json", R"({"edits":[{"put_mom)");
  CHECK(Run(folder, "tag shelf/1 --edits edits.json").status == 3);
  CHECK(Run(folder, "import x --steps steps.csv --columns start=FrameNo step=Phase").status == 2);
}

}  // namespace afterscope
