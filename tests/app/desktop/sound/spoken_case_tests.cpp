// SPDX-License-Identifier: Apache-2.0
// The whole window, without a display: a remark is being spoken when another case is opened.
#include "tests/app/desktop/stage/invented_case_support.hpp"
#include "tests/app/desktop/stage/stage_support.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <thread>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

int SpokenFiles(const std::string& case_folder) {
  const fs::recursive_directory_iterator all(case_folder), end;
  return static_cast<int>(std::count_if(
      all, end, [](const fs::directory_entry& entry) { return entry.path().extension() == ".ogg"; }));
}

}  // namespace

TEST_CASE("A remark being spoken stays with its case when another one is opened", "[window][sound]") {
  REQUIRE(setenv("SDL_AUDIODRIVER", "dummy", 1) == 0);  // its microphone hears silence
  const TemporaryFolder folder;
  const auto cases = MakeInventedCases(folder.path());
  REQUIRE(cases.size() == 2);
  {
    auto stage = Stage::Make(1280, 720);
    REQUIRE(stage);
    App& app = stage->app();
    stage->Open({cases[0]});
    REQUIRE(stage->DrawUntil([&] { return !app.player().shown().empty() && app.player().exact(); }));
    stage->Press("F9");
    const auto spoken_for = std::chrono::seconds(2);  // a remark needs half of one
    const auto end = std::chrono::steady_clock::now() + spoken_for;
    REQUIRE(stage->DrawUntil([&] { return std::chrono::steady_clock::now() > end; }));
    stage->Open({cases[1]});
    REQUIRE(stage->Settle());
    CHECK(app.player().exact());
  }
  CHECK(SpokenFiles(cases[0]) == 1);
  CHECK(SpokenFiles(cases[1]) == 0);
}

}  // namespace afterscope
