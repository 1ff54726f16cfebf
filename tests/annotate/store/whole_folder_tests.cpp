// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/whole_folder.hpp"
#include "tests/annotate/store/fault_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <filesystem>
#include <fstream>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

Status MakeWithTwoFiles(FileSystem& files, const std::string& path) {
  return MakeWholeFolder(files, path, [&](const std::string& folder) -> Status {
    AFTERSCOPE_TRY(MakeFolders(files, folder));
    for (const char* name : {"first", "second"})
      AFTERSCOPE_TRY(ReplaceFile(files, fmt::format("{}/{}", folder, name), "whole"));
    return {};
  });
}

bool IsWholeFolder(const std::string& path) {
  return fs::exists(path + "/first") && fs::exists(path + "/second");
}

int Entries(const std::string& folder) {
  return static_cast<int>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

}  // namespace

TEST_CASE("A folder that is made whole is there or not, whatever call fails", "[store]") {
  for (const bool for_ever : {false, true})
    for (int n = 1;; ++n) {
      const TemporaryFolder outer;
      const std::string path = outer / "made";
      bool hit = false;
      WatchedFiles watched(RealFileSystem(), [&](int call, const std::string& what) -> Status {
        if (call < n || (!for_ever && call > n)) return {};
        hit = true;
        return Error{ErrorCode::kUnwritable, what + ": no space left."};
      });
      const Status made = MakeWithTwoFiles(watched, path);
      if (!hit) break;
      INFO("call " << n << (for_ever ? " and ever after" : ""));
      CHECK(fs::exists(path) == IsWholeFolder(path));
      if (!made.ok()) CHECK(made.error().message.find("unfinished") == std::string::npos);
      // What was left goes with the next try.
      if (!fs::exists(path)) CHECK(MakeWithTwoFiles(RealFileSystem(), path).ok());
      CHECK(IsWholeFolder(path));
      CHECK(Entries(outer.path()) == 1);
    }
}

TEST_CASE("A folder is made whole where an empty one is, never over what is there", "[store]") {
  const TemporaryFolder outer;
  fs::create_directories(outer / "empty");
  CHECK(MakeWithTwoFiles(RealFileSystem(), (outer / "empty") + "/").ok());
  CHECK(IsWholeFolder(outer / "empty"));
  // A folder named by a dot, or through a link, is the folder itself.
  fs::create_directories(outer / "here");
  CHECK(MakeWithTwoFiles(RealFileSystem(), outer / "here/.").ok());
  CHECK(IsWholeFolder(outer / "here"));
  fs::create_directories(outer / "meant");
  fs::create_directory_symlink(outer / "meant", outer / "link");
  CHECK(MakeWithTwoFiles(RealFileSystem(), outer / "link").ok());
  CHECK(fs::is_symlink(outer / "link"));
  CHECK(IsWholeFolder(outer / "meant"));
  fs::create_directories(outer / "used");
  std::ofstream(outer / "used/letter") << "mine";
  CHECK_FALSE(MakeWithTwoFiles(RealFileSystem(), outer / "used").ok());
  CHECK(Entries(outer / "used") == 1);
  CHECK(Entries(outer.path()) == 5);
}

}  // namespace afterscope
