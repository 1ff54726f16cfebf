// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_job.hpp"
#include "tests/annotate/jobs/clip/clip_support.hpp"

#include <catch2/catch.hpp>

#include <fstream>

namespace afterscope {

TEST_CASE("What comes under the name of a clip or a still while it is made stays", "[clip]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 2 * kNumberedRate);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  const auto come = [](const std::string& path) {
    return [path](double) { std::ofstream(path) << "precious"; };
  };
  const auto bytes = [](const std::string& path) { return RealFileSystem().ReadAll(path, 100).value(); };

  const auto clip =
      MakeClip(case_folder, PlanOf(0, 1, 1), folder / "clip.mp4", {}, come(folder / "clip.mp4"), {});
  REQUIRE_FALSE(clip.ok());
  CHECK(clip.error().message.find("clip.mp4' is there already") != std::string::npos);
  CHECK(bytes(folder / "clip.mp4") == "precious");

  ClipPlan two = PlanOf(0, 1, 1);
  two.parts.push_back(two.parts.front());
  const auto stills =
      MakeStills(case_folder, two, folder / "still.png", {}, come(folder / "still-2.png"), {});
  REQUIRE_FALSE(stills.ok());
  CHECK(stills.error().message.find("still-2.png' is there already") != std::string::npos);
  CHECK(bytes(folder / "still-2.png") == "precious");
}

}  // namespace afterscope
