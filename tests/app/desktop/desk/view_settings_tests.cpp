// SPDX-License-Identifier: Apache-2.0
#include "app/common/recent_list.hpp"
#include "app/desktop/desk/view_settings.hpp"
#include "tests/support/temporary_folder.hpp"
#include "tests/support/watched_files.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>

namespace afterscope {
namespace {

// A settings file that is not there yet, in a folder that is not there yet either.
std::string SettingsFile(const TemporaryFolder& folder) { return folder / "deep/window.json"; }

// The path of a folder that is there.
std::string Made(const TemporaryFolder& folder, const std::string& name) {
  std::filesystem::create_directories(folder / name);
  return folder / name;
}

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
  const std::string a = Made(folder, "a");
  const std::string b = Made(folder, "b");
  Remember(settings, a);
  Remember(settings, b);
  Remember(settings, a);
  REQUIRE(SaveViewSettings(SettingsFile(folder), settings).ok());
  const ViewSettings back = LoadViewSettings(SettingsFile(folder));
  CHECK(back.light);
  CHECK(back.scale_pct == 150);
  CHECK(back.moment_seconds == 2.5);
  CHECK(back.clarity == settings.clarity);
  CHECK(back.magnifier);
  CHECK(back.sheet_width == 420);
  CHECK(back.recent == std::vector<std::string>{a, b});
}

TEST_CASE("A window that closes writes back nothing that was forgotten meanwhile", "[settings]") {
  const TemporaryFolder folder;
  const std::string file = SettingsFile(folder);
  const std::string kept = Made(folder, "kept");
  const std::string forgotten = Made(folder, "forgotten");  // the user's own files are still in it
  const std::string away = Made(folder, "away");            // on a drive that is unplugged
  ViewSettings before;
  for (const std::string& path : {kept, forgotten, away}) {
    Remember(before, path);
    RememberReview(before, path, "r1");
  }
  before.blinded_folder = forgotten;
  REQUIRE(SaveViewSettings(file, before).ok());
  for (ViewSettings open : {before, LoadViewSettings(file)}) {  // it had saved them, or loaded them
    REQUIRE(SaveViewSettings(file, open).ok());
    REQUIRE(ForgetRecent(file, [&](const std::string& path) { return path == forgotten; }).ok());
    std::filesystem::remove_all(away);
    Remember(open, folder / "new and gone");
    REQUIRE(SaveViewSettings(file, open).ok());
    for (const ViewSettings& left : {open, LoadViewSettings(file)}) {
      CHECK(left.recent == std::vector<std::string>{away, kept});
      CHECK(left.reviews.size() == 2);
      CHECK(RememberedReview(left, kept) == "r1");
      CHECK(left.blinded_folder.empty());
    }
  }
}

TEST_CASE("What two windows have opened is kept of both", "[settings]") {
  const TemporaryFolder folder;
  const std::string file = SettingsFile(folder);
  ViewSettings one = LoadViewSettings(file);
  ViewSettings other = LoadViewSettings(file);
  Remember(one, Made(folder, "a"));
  RememberReview(one, folder / "a", "r1");
  Remember(other, Made(folder, "b"));
  RememberReview(other, folder / "b", "r2");
  REQUIRE(SaveViewSettings(file, one).ok());
  REQUIRE(SaveViewSettings(file, other).ok());
  const ViewSettings both = LoadViewSettings(file);
  CHECK(both.recent == std::vector<std::string>{folder / "b", folder / "a"});
  CHECK(RememberedReview(both, folder / "a") == "r1");
  CHECK(RememberedReview(both, folder / "b") == "r2");
}

TEST_CASE("Settings that can't be written are said, and are then as they were", "[settings]") {
  int failed = 0;
  for (int at = 1;; ++at) {
    const TemporaryFolder folder;
    const std::string file = SettingsFile(folder);
    ViewSettings settings;
    settings.scale_pct = 110;
    REQUIRE(SaveViewSettings(file, settings).ok());
    settings.scale_pct = 150;
    Remember(settings, Made(folder, "a"));
    WatchedFiles watched(RealFileSystem(), [&](int call, const std::string& what) -> Status {
      return call == at ? Status(Error{ErrorCode::kUnwritable, what + " failed."}) : Status();
    });
    const Status saved = SaveViewSettings(file, settings, watched);
    const ViewSettings left = LoadViewSettings(file);
    INFO("call " << at);
    if (watched.calls() < at) break;
    CHECK((left.scale_pct == 110 || left.scale_pct == 150));
    CHECK(left.recent.size() == (left.scale_pct == 150 ? 1 : 0));
    if (saved.ok()) {
      CHECK(left.scale_pct == 150);
    } else {
      CHECK(saved.error().message.ends_with(" failed."));
      CHECK(settings.on_disk.empty());
      ++failed;
    }
  }
  CHECK(failed >= 5);
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
