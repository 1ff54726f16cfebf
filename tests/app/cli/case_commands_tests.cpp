// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/places.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
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

bool Says(const Ran& ran, const std::string& text) { return ran.output.find(text) != std::string::npos; }

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
  CHECK(Says(list, "0:00:01.000\t0:00:02.000\t1.000\trhexis"));
  CHECK(Says(list, "0:00:02.000\t0:00:08.000\t6.000\trhexis\ttaken over by s1"));
  CHECK(Run(folder, "tag c --undo --undo --redo").status == 0);
  CHECK(Says(Run(folder, "tag c --list"), "open"));
  CHECK(Run(folder, "check c --full").status == 0);
  CHECK(Says(Run(folder, "check c --full"), "verified"));
  struct stat after {};
  REQUIRE(::stat((folder / "v.mp4").c_str(), &after) == 0);
  CHECK(before.st_ino == after.st_ino);
  CHECK(before.st_mtim.tv_nsec == after.st_mtim.tv_nsec);
  WriteBytes(folder / "v.mp4", "something else");
  const Ran changed = Run(folder, "check c");
  CHECK(changed.status == 1);
  CHECK(Says(changed, "different"));
  CHECK(Run(folder, "tag c --moment remark --at 3 --text works").status == 0);
}

TEST_CASE("Reviews side by side: blinded, signed, answered, changed as a new version", "[commands]") {
  const TemporaryFolder folder;
  WriteBytes(folder / "steps.csv", "step,start,end\nrhexis,0,50\nlens,50,80\n");
  CHECK(
      Run(folder, "import c --steps steps.csv --rate 25 --set operator_code=secret-op --set date=2026-01-02")
          .status == 0);
  const std::string mentor = "tag c --review m --reviewer m1 --kind formal --blinded ";
  CHECK(Run(folder, mentor + "--step rhexis --at t0 --to t40").status == 0);
  CHECK(Run(folder, "tag c --reviewer t1 --self --step rhexis --at t0 --to t60").status == 0);
  // What was begun with names in sight is not blinded by a word.
  const Ran seen = Run(folder, "tag c --reviewer t1 --self --blinded --step lens --at t60");
  CHECK(seen.status == 2);
  CHECK(Says(seen, "is not blinded"));
  // Nor does its kind, or whose it is.
  const Ran formal = Run(folder, "tag c --reviewer t1 --kind formal --step lens --at t60");
  CHECK(formal.status == 2);
  CHECK(Says(formal, "was begun before and is a formative one"));
  CHECK(Run(folder, "tag c --reviewer t1 --kind formative --self --list").status == 0);
  const Ran own = Run(folder, "tag c --review m --self --list");
  CHECK(own.status == 2);
  CHECK(Says(own, "not the operator's own"));
  // Blind: no command on this review names the operator.
  for (const char* call : {"tag c --review m --json", "measure c --review m --json -",
                           "report c --review m -o r.json && cat r.json"}) {
    const Ran ran = Run(folder, call);
    INFO(ran.output);
    CHECK_FALSE(Says(ran, "secret-op"));
    CHECK_FALSE(Says(ran, "2026-01-02"));
  }
  CHECK(Says(Run(folder, "report c --review m -o r.html"), "hidden from each other"));
  CHECK(Run(folder, "tag c --review m --recognised yes").status == 2);
  CHECK(Run(folder, "tag c --review m --sign --reviewer x").status == 2);
  const Ran unsaid = Run(folder, "tag c --review m --sign");
  CHECK(unsaid.status == 2);
  CHECK(Says(unsaid, "say who signs, by --reviewer CODE"));
  CHECK(Run(folder, "tag c --review m --sign --reviewer m1").status == 0);
  CHECK(Says(Run(folder, "tag c --review m --json"), "secret-op"));
  CHECK(Run(folder, "tag c --review m --recognised perhaps --answer thanks --by t1").status == 0);
  CHECK(Says(Run(folder, "tag c --review m --json"), "\"recognised\":\"perhaps\""));
  CHECK(Run(folder, "tag c --review m --step lens --at t60").status == 2);
  CHECK(Says(Run(folder, "tag c --review m --next-version"), "m-v2"));
  // A formal review is changed by someone who says who he is, and its history tells.
  const Ran nobody = Run(folder, "tag c --review m-v2 --step lens --at t60");
  CHECK(nobody.status == 2);
  CHECK(Says(nobody, "--reviewer"));
  CHECK(Run(folder, "tag c --review m-v2 --reviewer m2 --step lens --at t60").status == 0);
  CHECK(Says(Run(folder, "tag c --review m-v2 --history"), "\tm2\t"));
  WriteBytes(folder / "talk.vtt", "WEBVTT\n\n00:00.100 --> 00:00.900\nThe capsule is intact.\n");
  CHECK(Run(folder, "import c --narration talk.vtt --review m-v2").status == 2);
  CHECK(Run(folder, "import c --narration talk.vtt --review m-v2 --reviewer m2").status == 0);
  const Ran list = Run(folder, "tag c --reviews");
  CHECK(Says(list, "formal, blinding blinded\tversion 1\tsigned 20"));
  CHECK(Says(list, "version 2\tnot signed"));
  CHECK(Says(list, "t1\tformative, own view"));
  CHECK(Run(folder, "check c").status == 0);
  CHECK(Run(folder, "tag c --review m --kind strict --list").status == 2);
}

TEST_CASE("A word that no list knows is taken and told, with the known one that is near", "[commands]") {
  const TemporaryFolder folder;
  WriteBytes(folder / "steps.csv", "step,start,end\nrhexis,0,200\n");
  REQUIRE(Run(folder, "import d --steps steps.csv --rate 25 --set step_list=phacoemulsification").status ==
          0);
  const auto told = [&](const std::string& call) {
    const Ran ran = Run(folder, "tag d " + call);
    INFO(ran.output);
    CHECK(ran.status == 0);
    return ran.output;
  };
  CHECK(told("--moment complication --at 1 --key posterior_capsule_ruptur") ==
        "'posterior_capsule_ruptur' is no complication of assets/complications.json and was taken as one of "
        "your own, which no cumulative sum knows; the nearest known one is 'posterior_capsule_rupture'.\n");
  CHECK(told("--moment complication --at 1 --key iris_trauma").empty());
  CHECK(told("--step rexis --at 1") ==
        "'rexis' is no step of the step list 'phacoemulsification' and was taken as one of your own; the "
        "nearest known one is 'rhexis'.\n");
  CHECK(told("--step polish_the_table --at 2") ==
        "'polish_the_table' is no step of the step list 'phacoemulsification' and was taken as one of your "
        "own.\n");
  CHECK(told("--step rexis --at 3").empty());  // the review has it: it is meant
  CHECK(told("--check 'no_such_check=seen done'").find("'no_such_check' is no check of") == 0);
  WriteBytes(folder / "e.json", R"({"edits":[{"set_check":{"key":"nor_this","state":"seen done"}}]})");
  CHECK(told("--edits e.json").find("'nor_this' is no check of") == 0);
  CHECK(told("--moment settings --key sculpt --at 1 --field power_pct=400 vacuum_mmhg=90") ==
        "power_pct=400 lies outside 0 to 100, as assets/settings.json has it; it was kept as said.\n");
  CHECK(told("--moment settings --key sculpt --at 2 --field power_pct=40 own=400").empty());
}

TEST_CASE("A check names a broken clip plan", "[commands]") {
  const TemporaryFolder folder;
  WriteBytes(folder / "steps.csv", "step,start,end\nrhexis,0,50\n");
  REQUIRE(Run(folder, "import d --steps steps.csv --rate 25").status == 0);
  REQUIRE(Run(folder, "check d").status == 0);
  REQUIRE(std::filesystem::create_directory(folder / "d/clips"));
  WriteBytes(folder / "d/clips/talk.json", "{");
  const Ran broken = Run(folder, "check d");
  CHECK(broken.status == 1);
  CHECK(Says(broken, "clips/talk.json"));
}

TEST_CASE("A scale comes from a needle by its gauge", "[commands]") {
  const TemporaryFolder folder;
  WriteBytes(folder / "steps.csv", "step,start,end\nrhexis,0,50\n");
  REQUIRE(Run(folder, "import c --steps steps.csv --rate 25").status == 0);
  REQUIRE(Run(folder, "tag c --mark object --at 1 --points 100,50 140,50 --text needle").status == 0);
  const std::string scale = "tag c --scale object --of m1 --plane cornea --known-gauge ";
  CHECK(Run(folder, scale + "27 --known-mm 0.4").status == 2);
  const Ran none = Run(folder, scale + "40");
  CHECK(none.status == 2);
  CHECK(Says(none, "The diameter of a needle of 40 G is not known here: 18 to 33 are."));
  REQUIRE(Run(folder, scale + "27").status == 0);
  const auto scales = nlohmann::json::parse(Run(folder, "tag c --json").output)["review"]["scales"];
  REQUIRE(scales.size() == 1);
  CHECK(scales[0]["known_mm"].get<double>() == Approx(0.41));
}

TEST_CASE("A recording stays in the case while a review speaks of it", "[commands]") {
  const TemporaryFolder folder;
  WriteBytes(folder / "steps.csv", "step,start,end\na,\"0,5\",2\n");
  CHECK(Run(folder, "import c --steps steps.csv --unit seconds").status == 0);
  WriteBytes(folder / "none.json", R"({"edits":[{"set_recordings":[]}]})");
  const Ran refused = Run(folder, "tag c --edits none.json");
  CHECK(refused.status == 2);
  CHECK(Says(refused, "step 'a'"));
  CHECK(Run(folder, "tag c --review other --edits none.json").status == 2);
  WriteBytes(folder / "bad.csv", "step,start,end\na,50,10\n");
  const Ran bad = Run(folder, "import d --steps bad.csv --rate 25");
  CHECK(bad.status == 3);
  CHECK(Says(bad, "line 2"));
  CHECK(Run(folder, "check d").status == 3);
}

TEST_CASE("A blinded reviewer is not told the names of files by the report", "[commands]") {
  const TemporaryFolder folder;
  REQUIRE(std::system(("ffmpeg -v error -f lavfi -i testsrc=d=2:s=160x120:r=25 -c:v libx264 " +
                       (folder / "secret-op.mp4"))
                          .c_str()) == 0);
  REQUIRE(Run(folder, "new d --recording secret-op.mp4 --set code=d").status == 0);
  REQUIRE(Run(folder, "tag d --review m --reviewer m1 --blinded --moment remark --at 1 --text x").status ==
          0);
  std::remove((folder / "secret-op.mp4").c_str());
  const Ran blind = Run(folder, "report d --review m -o d.html");
  CHECK(blind.status == 0);
  CHECK_FALSE(Says(blind, "secret-op"));
  REQUIRE(Run(folder, "tag d --review m --reviewer m1 --sign").status == 0);
  REQUIRE(Run(folder, "tag d --review m --recognised no").status == 0);
  CHECK(Says(Run(folder, "report d --review m -o d.html"), "secret-op"));
  CHECK(BytesOf(folder / "d.html").find("secret-op") == std::string::npos);
}

TEST_CASE("One table makes many cases, and edits come from standard input", "[commands]") {
  const TemporaryFolder folder;
  WriteBytes(folder / "steps.csv", "VideoID;FrameNo;Phase\n1;0;a\n1;50;b\n2;5;a\n");
  WriteBytes(folder / "videos.csv", "VideoID;Frames;FPS;Surgeon;Experience\n1;100;25;3;2\n2;90;25;1;1\n");
  const std::string call =
      "import shelf --steps steps.csv --columns case=VideoID start=FrameNo step=Phase --case-table "
      "videos.csv --case-columns case=VideoID total=Frames rate=FPS operator=Surgeon";
  CHECK(Run(folder, call).status == 0);
  CHECK(Says(Run(folder, "tag shelf/1 --list"), "0:00:02.000\t0:00:04.000\t2.000\tb"));
  CHECK(Says(Run(folder, "tag shelf/1 --json"), "\"Experience\":\"2\""));
  CHECK(Says(Run(folder, "tag shelf/2 --json"), "\"operator_code\": \"1\""));
  CHECK(Run(folder, call).status == 5);
  CHECK(Run(folder, "check shelf").status == 0);
  WriteBytes(folder / "edits.json",
             R"({"edits":[{"put_moment":{"at":{"recording":0,"ticks":3},"kind":"remark","text":"x"}}]})");
  CHECK(Run(folder, "tag shelf/1 --edits - < edits.json").status == 0);
  CHECK(Says(Run(folder, "tag shelf/1 --list"), "remark\t0:00:00.120"));
  WriteBytes(folder / "edits.json",
             R"({"edits":[{"put_moment":{"at":{"recording":7,"ticks":3},"kind":"remark"}}]})");
  CHECK(Run(folder, "tag shelf/1 --edits edits.json").status == 2);
  WriteBytes(folder / "edits.json", R"({"edits":[{"put_mom)");
  CHECK(Run(folder, "tag shelf/1 --edits edits.json").status == 3);
  CHECK(Run(folder, "import x --steps steps.csv --columns start=FrameNo step=Phase").status == 2);
  // Codes that make one folder name get folders of their own; what is there already stops all of them.
  WriteBytes(folder / "alike.csv", "case,step,start\nA B,a,0\nA/B,a,0\n" + std::string(300, 'x') + ",a,0\n");
  CHECK(Run(folder, "import alike --steps alike.csv --rate 25 --total 50").status == 0);
  CHECK(Says(Run(folder, "tag alike/A-B --json"), "\"A B\""));
  CHECK(Says(Run(folder, "tag alike/A-B-2 --json"), "\"A/B\""));
  CHECK(Run(folder, "check alike/" + std::string(100, 'x')).status == 0);
  WriteBytes(folder / "more.csv", "case,step,start\nnew,a,0\nA B,a,0\n");
  CHECK(Run(folder, "import alike --steps more.csv --rate 25 --total 50").status == 5);
  CHECK(Run(folder, "check alike/new").status == 3);
}

}  // namespace afterscope
