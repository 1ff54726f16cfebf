// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/view_settings.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>

namespace afterscope {
namespace {

// A settings file that is not there yet, in a folder that is not there yet either.
std::string SettingsFile(const TemporaryFolder& folder) { return folder / "deep/window.json"; }

}  // namespace

TEST_CASE("View settings come back as they were left", "[settings]") {
  const TemporaryFolder folder;
  ViewSettings settings;
  settings.light = true;
  settings.scale_pct = 150;
  settings.moment_seconds = 2.5;
  settings.clarity = {Deinterlacing::kAlways, 0.75, 1.3, 0.5};
  settings.magnifier = true;
  settings.sheet_width = 420;
  Remember(settings, "/a");
  Remember(settings, "/b");
  Remember(settings, "/a");
  SaveViewSettings(SettingsFile(folder), settings);
  const ViewSettings back = LoadViewSettings(SettingsFile(folder));
  CHECK(back.light);
  CHECK(back.scale_pct == 150);
  CHECK(back.moment_seconds == 2.5);
  CHECK(back.clarity == settings.clarity);
  CHECK(back.magnifier);
  CHECK(back.sheet_width == 420);
  CHECK(back.recent == std::vector<std::string>{"/a", "/b"});
}

TEST_CASE("Settings that make no sense do no harm", "[settings]") {
  const TemporaryFolder folder;
  std::filesystem::create_directories(folder / "deep");
  for (const char* text :
       {"", "nonsense", "[1]",
        R"({"light": 3, "scale_pct": "x", "recent": [4, null], "width": -1e99, "sheet_width": 9})"}) {
    std::ofstream(SettingsFile(folder), std::ios::trunc) << text;
    const ViewSettings settings = LoadViewSettings(SettingsFile(folder));
    CHECK(settings.scale_pct == 100);
    CHECK(settings.recent.empty());
    CHECK(settings.width >= 640);
    CHECK(settings.sheet_width >= 220);
  }
  CHECK(LoadViewSettings("").recent.empty());
}

}  // namespace afterscope
