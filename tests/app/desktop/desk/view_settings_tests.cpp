// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/view_settings.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>

namespace afterscope {
namespace {

struct Folder {
  std::filesystem::path path = std::filesystem::temp_directory_path() / "afterscope_view_settings_test";
  Folder() { std::filesystem::remove_all(path); }
  ~Folder() { std::filesystem::remove_all(path); }
  std::string File() const { return (path / "deep" / "window.json").string(); }
};

}  // namespace

TEST_CASE("View settings come back as they were left", "[settings]") {
  const Folder folder;
  ViewSettings settings;
  settings.light = true;
  settings.scale_pct = 150;
  settings.moment_seconds = 2.5;
  settings.clarity = {Deinterlacing::kAlways, 0.75, 1.3, 0.5};
  settings.magnifier = true;
  Remember(settings, "/a");
  Remember(settings, "/b");
  Remember(settings, "/a");
  SaveViewSettings(folder.File(), settings);
  const ViewSettings back = LoadViewSettings(folder.File());
  CHECK(back.light);
  CHECK(back.scale_pct == 150);
  CHECK(back.moment_seconds == 2.5);
  CHECK(back.clarity == settings.clarity);
  CHECK(back.magnifier);
  CHECK(back.recent == std::vector<std::string>{"/a", "/b"});
}

TEST_CASE("Settings that make no sense do no harm", "[settings]") {
  const Folder folder;
  std::filesystem::create_directories(folder.path / "deep");
  for (const char* text :
       {"", "nonsense", "[1]", R"({"light": 3, "scale_pct": "x", "recent": [4, null], "width": -1e99})"}) {
    std::ofstream(folder.File(), std::ios::trunc) << text;
    const ViewSettings settings = LoadViewSettings(folder.File());
    CHECK(settings.scale_pct == 100);
    CHECK(settings.recent.empty());
    CHECK(settings.width >= 640);
  }
  CHECK(LoadViewSettings("").recent.empty());
}

}  // namespace afterscope
