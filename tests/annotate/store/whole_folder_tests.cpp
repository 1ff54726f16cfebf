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

TEST_CASE("What comes under a folder's name while it is made stays", "[store]") {
  const TemporaryFolder outer;
  const std::string path = outer / "made";
  const auto make_while = [&](const std::function<void()>& meanwhile) {
    return MakeWholeFolder(RealFileSystem(), path, [&](const std::string& folder) -> Status {
      AFTERSCOPE_TRY(ReplaceFile(RealFileSystem(), folder + "/first", "whole"));
      meanwhile();
      return {};
    });
  };
  const std::string sentence = "Can't make '" + path + "': something is there already; give a new folder.";
  SECTION("a folder with a file") {
    const Status made = make_while([&] {
      fs::create_directories(path);
      std::ofstream(path + "/thesis.txt") << "precious";
    });
    REQUIRE_FALSE(made.ok());
    CHECK(made.error().message == sentence);
    CHECK(fs::exists(path + "/thesis.txt"));
    CHECK(Entries(path) == 1);
  }
  SECTION("a file") {
    CHECK(make_while([&] { std::ofstream(path) << "precious"; }).error().message == sentence);
    CHECK(fs::file_size(path) == 8);
  }
  SECTION("a file named like a lock") {
    const Status made = make_while([&] {
      fs::create_directories(path);
      std::ofstream(path + "/lock") << "precious";
    });
    CHECK_FALSE(made.ok());
    CHECK(fs::file_size(path + "/lock") == 8);
  }
  SECTION("a folder in which a case is being made") {
    std::unique_ptr<FileLock> lock;
    const Status made = make_while([&] {
      fs::create_directories(path);
      lock = std::move(*RealFileSystem().Lock(path + "/lock"));
    });
    CHECK_FALSE(made.ok());
    CHECK(fs::exists(path + "/lock"));
  }
  SECTION("the same folder, made by another program") {
    CHECK(make_while([&] { CHECK(MakeWithTwoFiles(RealFileSystem(), path).ok()); }).error().message ==
          sentence);
    CHECK(IsWholeFolder(path));
  }
  CHECK(Entries(outer.path()) == 1);
}

TEST_CASE("A folder takes the name of what a program left there that ended", "[store]") {
  const TemporaryFolder outer;
  fs::create_directories(outer / "made");
  for (const char* name : {"lock", "case.json.0123456789abcdef.tmp"}) std::ofstream((outer / "made/") + name);
  CHECK(MakeWithTwoFiles(RealFileSystem(), outer / "made").ok());
  CHECK(Entries(outer / "made") == 2);
}

TEST_CASE("What was left of a folder goes with the next try, what another program makes stays", "[store]") {
  const TemporaryFolder outer;
  const std::string path = outer / "made", left = outer / ".made.0123456789abcdef.unfinished";
  fs::create_directories(left + "/inside");
  fs::create_directories(outer / ".made.draft.unfinished");
  CHECK(MakeWholeFolder(RealFileSystem(), path, [&](const std::string& folder) -> Status {
          CHECK_FALSE(fs::exists(left));
          CHECK(MakeWithTwoFiles(RealFileSystem(), path).ok());
          CHECK(fs::exists(folder));
          fs::remove_all(path);
          return MakeFolders(RealFileSystem(), folder + "/mine");
        }).ok());
  CHECK(fs::exists(path + "/mine"));
  CHECK(Entries(outer.path()) == 2);
}

}  // namespace afterscope
