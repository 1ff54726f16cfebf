// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/phantom/phantom_case.hpp"
#include "annotate/store/case_session.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <string>
#include <vector>

// Small recordings of phantoms for tests of what stands on a recording. For the tests of annotate and of what
// links it: test_support itself links no layer.
namespace afterscope {

// An eye in pictures of that width, 4 : 3.
inline phantom::Scene SmallScene(int width, double px_per_mm) {
  phantom::Scene scene = phantom::RandomScene(5, phantom::Difficulty::kEasy);
  scene.width = width, scene.height = width * 3 / 4, scene.px_per_mm = px_per_mm;
  return scene;
}

// Frames at 25 fps with an instrument in a small eye, and where its tip is on each.
struct ToolStretch {
  phantom::Phantom phantom{SmallScene(320, 11)};
  std::vector<double> seconds;
  std::vector<PointPx> tips;

  explicit ToolStretch(std::size_t frames) {
    const auto& tools = phantom.script().tools;
    const auto use = std::find_if(tools.begin(), tools.end(), [](const phantom::ToolUse& tool) {
      return tool.leave_s - tool.enter_s > 4;
    });
    REQUIRE(use != tools.end());
    for (std::size_t i = 0; i < frames; ++i)
      seconds.push_back(use->enter_s + 0.8 + static_cast<double>(i) / 25);
    for (const double at : seconds)
      for (const phantom::ToolTruth& tool : phantom.Truth(at).tools)
        if (tool.tool == use->tool && tool.main_hand == use->main_hand) tips.push_back(tool.tip);
    REQUIRE(tips.size() == frames);
  }
};

// The phantom at those instants, as one file.
inline PhantomFrames Recorded(const phantom::Phantom& phantom, const std::vector<double>& seconds,
                              const std::string& path) {
  const std::vector<std::string> paths{path};
  REQUIRE(RecordPhantom(phantom, {}, seconds, std::vector<std::size_t>{0}, paths, {}, {}).ok());
  const auto frames = ReadBackPhantom(seconds, {0}, paths, {});
  REQUIRE(frames.ok());
  return *frames;
}

struct PhantomCase {
  CaseRecord record;
  PhantomFrames frames;
};

// A case of that recording, which lies beside it.
inline PhantomCase MadePhantomCase(const phantom::Phantom& phantom, const std::vector<double>& seconds,
                                   const std::string& folder) {
  PhantomCase made{{}, Recorded(phantom, seconds, folder + ".mp4")};
  made.record.code = "X-1";
  REQUIRE(AddRecordings(made.frames, folder, made.record).ok());
  REQUIRE(CaseSession::Create(folder, made.record).ok());
  return made;
}

}  // namespace afterscope
