// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/faults/fault_support.hpp"
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>
#include <set>
#include <string>
#include <sys/stat.h>
#include <unistd.h>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

std::set<std::string> PathsIn(const std::string& folder) {
  std::set<std::string> paths;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) paths.insert(entry.path().string());
  return paths;
}

mode_t ModeOf(const std::string& path) {
  struct stat status {};
  return ::stat(path.c_str(), &status) == 0 ? status.st_mode & 07777 : 07777;
}

}  // namespace

TEST_CASE(
    "Whatever is written is its owner's alone, and nothing lies outside the folders of the user and the case",
    "[privacy]") {
  const TemporaryFolder folder;
  const TemporaryFolder temporary;
  MakeFaultFolder(folder.path());
  REQUIRE(::chmod(folder.path().c_str(), 0777) == 0);
  const std::set<std::string> before = PathsIn(folder.path());
  const std::string home = folder / "home";
  fs::create_directory(home);
  for (const WritingCall& call : WritingCalls()) {
    const std::string name = call.name;
    if (name.starts_with("forget") || name == "signing") continue;  // nothing could be written after them
    const ForkedRun run = RunCall(folder.path(), call, [&] {
      ::umask(0);
      ::setenv("TMPDIR", temporary.path().c_str(), 1);
      ::setenv("HOME", home.c_str(), 1);
    });
    INFO(call.name << ": " << run.err);
    CHECK(run.status == 0);
  }
  int written = 0;
  for (const std::string& path : PathsIn(folder.path())) {
    if (before.contains(path) || path == home) continue;
    INFO(path);
    CHECK(ModeOf(path) == (fs::is_directory(path) ? 0700 : 0600));
    ++written;
  }
  CHECK(written > 30);
  CHECK(fs::is_empty(temporary.path()));
  CHECK(fs::is_empty(home));
}

}  // namespace afterscope
