// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

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
  // Of a limbus, or from too few points, none is.
  CHECK(RunForked(folder.path(), "tag c --mark limbus --at f3 --propose" + points).status == 2);
  CHECK(RunForked(folder.path(), "tag c --mark rhexis --at f4 --propose --points 220,120 160,180").status ==
        2);
}

}  // namespace afterscope
