// SPDX-License-Identifier: Apache-2.0
// Not checked, but looked at (see look_support.hpp): what lies over the picture and in its place, and windows
// on no case, one, two and three.
#include "tests/app/desktop/stage/invented_case_support.hpp"
#include "tests/app/desktop/stage/look_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

struct Folders {
  std::string one, two, three, none, day, latest;
};

Folders MakeLookFolders(const TemporaryFolder& folder) {
  const auto cases = MakeInventedCases(folder / "two");
  REQUIRE(cases.size() == 2);
  Folders made{folder / "one",
               folder / "two/cases",
               folder / "three",
               folder / "none",
               folder / "Thursday's list, theatre three",
               cases[1]};
  for (const std::string& each : {made.one, made.three, made.none, made.day}) fs::create_directories(each);
  const auto all = fs::copy_options::recursive;
  fs::copy(cases[0], made.one + "/X-001", all);
  for (const char* name : {"X-001", "X-001-SECOND-EYE-WITH-A-LONG-CODE-OF-ITS-OWN", "X-001-third"})
    fs::copy(cases[0], made.three + "/" + name, all);
  int number = 0;
  for (const auto& recording : fs::directory_iterator(folder / "two/recordings"))
    fs::copy(recording.path(),
             fmt::format("{}/2026-11-2{} 08-15-00 a name that the recorder made.mp4", made.day, ++number));
  return made;
}

struct Shown {
  std::vector<const char*> keys;
  const char* name;
};

// Each begins where the one before left it. A note takes the place of the one before.
const std::vector<Shown> kOfOneCase{{{"Tab", "Tab"}, "at_a_moment"},
                                    {{"F7"}, "rename"},
                                    {{"Escape", "Shift+R"}, "rhexis_tool"},
                                    {{"Escape", "Alt+P", "Alt+M"}, "picture_controls"},
                                    {{"Alt+P", "Alt+M", "Alt+Shift+I"}, "picture_counts"},
                                    {{"Alt+Shift+I", "Shift+F2", "Shift+V"}, "clip"},
                                    {{"Alt+V"}, "clip_preview"},
                                    {{"Alt+S", "Shift+F1", "3", "Tab", "2"}, "scored"},
                                    {{"Shift+F3", "Tab", "Tab"}, "series_chart"},
                                    {{"Alt+G"}, "series_groups"},
                                    {{"Alt+4"}, "series_cases"},
                                    {{"Alt+4", "Alt+2"}, "find"},
                                    {{"Alt+3"}, "due"},
                                    {{"Alt+1", "F2", "Ctrl+K"}, "chooser"},
                                    {{"Enter"}, "compare"},
                                    {{"Escape", "Ctrl+Shift+K"}, "grid"},
                                    {{"Escape", "F5"}, "debrief"},
                                    {{"Escape", "Ctrl+P", "Alt+Shift+P"}, "report_pages"},
                                    {{"Escape", "Shift+S"}, "settings_note"},
                                    {{"Shift+C"}, "complication_note"},
                                    {{"Shift+K"}, "check_note"},
                                    {{"Enter"}, "remark"}};

bool IsAnyWanted(const LookSize& size) {
  return IsLookWanted(LookName("", size)) ||
         std::any_of(kOfOneCase.begin(), kOfOneCase.end(),
                     [&](const Shown& shown) { return IsLookWanted(LookName(shown.name, size)); });
}

void LookAtCase(const std::string& folder, const LookSize& size) {
  const auto stage = StageFor(size);
  REQUIRE(stage);
  stage->Open({folder});
  REQUIRE(stage->DrawUntil([&] { return stage->app().player().exact() && !stage->app().Working(); }));
  for (const Shown& shown : kOfOneCase) {
    for (const char* key : shown.keys) {
      stage->Press(key);
      stage->DrawUntil([&] { return !stage->app().Working(); }, 20);
    }
    LeaveLook(*stage, LookName(shown.name, size));
  }
}

void LookAtFolders(const Folders& folders, const LookSize& size) {
  const auto stage = StageFor(size);
  REQUIRE(stage);
  LeaveLook(*stage, LookName("empty", size));
  for (const auto& [name, folder] :
       {std::pair{"no_case", folders.none}, std::pair{"one_case", folders.one},
        std::pair{"two_cases", folders.two}, std::pair{"three_cases", folders.three},
        std::pair{"day", folders.day}}) {
    stage->Open({folder});
    LeaveLook(*stage, LookName(name, size));
  }
  stage->Press("Escape");
  stage->Open({folders.three});
  stage->DrawUntil([&] { return !stage->app().Working() && stage->app().shelf().size() == 3; });
  stage->Press("Ctrl+Shift+B");
  LeaveLook(*stage, LookName("blinded_cases", size));
}

}  // namespace

TEST_CASE("Every other state, to be looked at", "[.look_states]") {
  REQUIRE(std::getenv("AFTERSCOPE_LOOK") != nullptr);
  const TemporaryFolder folder;
  const Folders folders = MakeLookFolders(folder);
  for (const LookSize& size : AllLooks()) {
    if (!IsAnyWanted(size)) continue;
    LookAtFolders(folders, size);
    LookAtCase(folders.latest, size);
  }
}

}  // namespace afterscope
