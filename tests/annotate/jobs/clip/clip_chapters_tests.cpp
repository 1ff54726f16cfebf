// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_job.hpp"
#include "tests/annotate/jobs/clip/clip_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cstdlib>
#include <fstream>
#include <iterator>

namespace afterscope {
namespace {

std::string TextOf(const std::string& path) {
  std::ifstream in(path);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

// Read by the ffprobe program.
TEST_CASE("Clips of both kinds hold their chapters, and ffprobe has nothing to warn of", "[clip]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 60);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  ClipPlan plan = PlanOf(0, 1, 1);
  plan.parts[0].text = "Rhexis \xE0\xA6\x95";
  ClipPart title;
  title.kind = ClipPartKind::kTitle;
  title.text = std::string(400, 'T');
  title.seconds = 1;
  plan.parts.push_back(title);
  for (const char* name : {"clip.mp4", "clip.webm"}) {
    const auto done = MakeClip(case_folder, plan, folder / name, {}, {}, {});
    INFO(name << (done.ok() ? "" : done.error().message));
    REQUIRE(done.ok());
    REQUIRE(std::system(fmt::format("ffprobe -v warning -of compact=p=0 -show_entries "
                                    "chapter=start_time,end_time:chapter_tags=title '{}' > '{}' 2> '{}'",
                                    folder / name, folder / "chapters", folder / "warnings")
                            .c_str()) == 0);
    CHECK(TextOf(folder / "warnings").empty());
    const std::string chapters = TextOf(folder / "chapters");
    CHECK(chapters.find("start_time=0.000000|end_time=1.000000|tag:title=Rhexis \xE0\xA6\x95\n") !=
          std::string::npos);
    CHECK(chapters.find("start_time=1.000000|end_time=2.000000|tag:title=" + std::string(255, 'T')) !=
          std::string::npos);
  }
}

}  // namespace afterscope
