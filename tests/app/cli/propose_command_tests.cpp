// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/phantom_cases.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>

namespace afterscope {

// A disc of 60 pixels round (160, 120), drawn by ffmpeg.
TEST_CASE("The rest of an outline is proposed by a command", "[commands]") {
  const TemporaryFolder folder;
  const char* drawn =
      "geq=r='if(lt(hypot(X-160,Y-120),60),190,130)':g='if(lt(hypot(X-160,Y-120),60),90,60)':b=50";
  REQUIRE(std::system(fmt::format("ffmpeg -v error -f lavfi -i color=s=320x240:d=0.4:r=25 -vf \"{}\" -c:v "
                                  "libx264 -crf 12 -pix_fmt yuv420p {}",
                                  drawn, folder / "v.mp4")
                          .c_str()) == 0);
  Done(folder.path(), "new c --recording v.mp4");
  const std::string points = " --points 220,120 160,180 100,120 160,60";
  const ForkedRun proposed = RunForked(folder.path(), "tag c --mark rhexis --at f3 --propose" + points);
  CHECK(proposed.status == 0);
  CHECK(proposed.err.find("The edge is seen at ") != std::string::npos);
  const auto marks = nlohmann::json::parse(Done(folder.path(), "tag c --json"))["review"]["marks"];
  REQUIRE(marks.size() == 1);
  CHECK(marks[0]["points"].size() > 30);
  for (const auto& p : marks[0]["points"])
    CHECK(std::hypot(p[0].get<double>() - 160, p[1].get<double>() - 120) == Approx(60).margin(1.5));
  // Of a limbus that is not there, of a label, or from too few points, none is.
  const ForkedRun refused = RunForked(folder.path(), "tag c --mark limbus --at f3 --propose");
  CHECK(refused.status == 4);
  CHECK(Has(refused.err, "No limbus can be found on this frame with trust: mark it by eight or more points"));
  CHECK(RunForked(folder.path(), "tag c --mark label --at f3 --propose --points 20,20").status == 2);
  CHECK(RunForked(folder.path(), "tag c --mark rhexis --at f4 --propose --points 220,120 160,180").status ==
        2);
}

TEST_CASE("Limbus and pupil are proposed by a command without a point, and are measured from", "[commands]") {
  const TemporaryFolder folder;
  const phantom::Phantom phantom(phantom::RandomScene(7202, phantom::Difficulty::kEasy));
  const double done = phantom.script().Step("rhexis")->end_s + 0.2;
  MadePhantomCase(phantom, {done, done + 0.04, done + 0.08}, folder / "c");
  for (const char* kind : {"limbus", "pupil"}) {
    const ForkedRun run =
        RunForked(folder.path(), fmt::format("tag c --reviewer m1 --mark {} --at f1 --propose", kind));
    CHECK(run.status == 0);
    CHECK(Has(run.err, fmt::format("The {} is found: its edge is seen along ", kind)));
  }
  const auto marks = nlohmann::json::parse(Done(folder.path(), "tag c --json"))["review"]["marks"];
  REQUIRE(marks.size() == 2);
  for (const auto& mark : marks) CHECK(mark["points"].size() == 12);
  // True of the phantom; a tenth for the size that an eye usually has, which stands for the scale.
  const auto findings = nlohmann::json::parse(Done(folder.path(), "measure c --json -"));
  const auto pupil = std::find_if(findings.begin(), findings.end(),
                                  [](const auto& f) { return f["name"] == "pupil.diameter"; });
  REQUIRE(pupil != findings.end());
  INFO(pupil->dump());
  CHECK((*pupil)["value"].get<double>() == Approx(phantom.Truth(done + 0.04).pupil_mm).epsilon(0.1));
}

}  // namespace afterscope
