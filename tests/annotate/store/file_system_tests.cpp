// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/file_system.hpp"
#include "annotate/store/pending_file.hpp"
#include "tests/annotate/store/fault_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <atomic>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <sys/stat.h>
#include <thread>
#include <unistd.h>

namespace afterscope {
namespace {

int ModeOf(const std::string& path) {
  struct stat status {};
  REQUIRE(::stat(path.c_str(), &status) == 0);
  return static_cast<int>(status.st_mode & 07777);
}

}  // namespace

TEST_CASE("Written files and folders belong to their owner only, whatever the umask", "[store]") {
  const TemporaryFolder folder;
  FileSystem& files = RealFileSystem();
  const mode_t before = ::umask(0);
  REQUIRE(MakeFolders(files, folder / "a/b/c").ok());
  REQUIRE(ReplaceFile(files, folder / "a/b/c/x", "one").ok());
  auto appended = files.OpenAppend(folder / "a/journal");
  REQUIRE(appended.ok());
  REQUIRE(files.Lock(folder / "a/lock").ok());
  ::umask(before);
  CHECK(ModeOf(folder / "a") == 0700);
  CHECK(ModeOf(folder / "a/b/c") == 0700);
  CHECK(ModeOf(folder / "a/b/c/x") == 0600);
  CHECK(ModeOf(folder / "a/journal") == 0600);
  CHECK(ModeOf(folder / "a/lock") == 0600);
}

TEST_CASE("What is written to a file that was removed meanwhile is not acknowledged", "[store]") {
  const TemporaryFolder folder;
  auto journal = RealFileSystem().OpenAppend(folder / "journal");
  REQUIRE(journal.ok());
  REQUIRE((*journal)->Append("kept").ok());
  REQUIRE((*journal)->Sync().ok());
  std::filesystem::rename(folder / "journal", folder / "elsewhere");  // it is still there
  REQUIRE((*journal)->Append("too").ok());
  CHECK((*journal)->Sync().ok());
  std::filesystem::remove(folder / "elsewhere");
  REQUIRE((*journal)->Append("lost").ok());
  const Status synced = (*journal)->Sync();
  REQUIRE_FALSE(synced.ok());
  CHECK(synced.error().code == ErrorCode::kUnwritable);
}

TEST_CASE("A replaced file holds the new bytes and leaves nothing beside it", "[store]") {
  const TemporaryFolder folder;
  FileSystem& files = RealFileSystem();
  REQUIRE(ReplaceFile(files, folder / "x", "old").ok());
  const std::string large(300000, 'n');
  REQUIRE(ReplaceFile(files, folder / "x", large).ok());
  CHECK(files.ReadAll(folder / "x", 1 << 20).value() == large);
  CHECK(files.List(folder.path()).value() == std::vector<std::string>{"x"});
}

TEST_CASE("What a program left that ended goes, what is being written stays", "[store]") {
  const TemporaryFolder folder;
  FileSystem& files = RealFileSystem();
  for (const char* name : {"x.0123456789abcdef.tmp", "y.0123456789abcdef.tmp", "x", "0123456789abcdef.tmp"})
    std::ofstream(folder / name) << "left";
  {
    const auto writing = PendingFile::Create(files, folder / "z");
    REQUIRE(writing.ok());
    REQUIRE(ReplaceFile(files, folder / "x", "new").ok());
    CHECK_FALSE(std::filesystem::exists(folder / "x.0123456789abcdef.tmp"));
    CHECK(std::filesystem::exists(folder / "y.0123456789abcdef.tmp"));
    RemoveLeftovers(files, folder.path());
    CHECK_FALSE(std::filesystem::exists(folder / "y.0123456789abcdef.tmp"));
    CHECK((*writing)->Keep().ok());
  }
  CHECK(files.List(folder.path()).value() == std::vector<std::string>{"0123456789abcdef.tmp", "x", "z"});
}

TEST_CASE("A sentence about a file that can't be written names it, not a temporary one", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "missing/report.pdf";
  CHECK(ReplaceFile(RealFileSystem(), path, "x").error().message ==
        "Can't create '" + path + "': No such file or directory.");
}

TEST_CASE("Replacing through a link keeps the link", "[store]") {
  const TemporaryFolder folder;
  FileSystem& files = RealFileSystem();
  REQUIRE(ReplaceFile(files, folder / "target", "old").ok());
  std::filesystem::create_symlink("target", folder / "link");
  REQUIRE(ReplaceFile(files, folder / "link", "new").ok());
  CHECK(std::filesystem::is_symlink(folder / "link"));
  CHECK(files.ReadAll(folder / "target", 100).value() == "new");
}

TEST_CASE("Append and WriteAt keep one end of file", "[store]") {
  const TemporaryFolder folder;
  FileSystem& files = RealFileSystem();
  {
    auto file = files.Create(folder / "x");
    REQUIRE(file.ok());
    REQUIRE((*file)->Append("0123456789").ok());
    REQUIRE((*file)->WriteAt(2, "ab").ok());
    REQUIRE((*file)->WriteAt(9, "cdef").ok());
    REQUIRE((*file)->Append("!").ok());
    CHECK_FALSE((*file)->WriteAt(99, "hole").ok());
    REQUIRE((*file)->Sync().ok());
    REQUIRE((*file)->Close().ok());
  }
  CHECK(files.ReadAll(folder / "x", 100).value() == "01ab45678cdef!");
  auto again = files.OpenAppend(folder / "x");
  REQUIRE((*again)->Append("?").ok());
  CHECK(files.ReadAll(folder / "x", 100).value() == "01ab45678cdef!?");
  REQUIRE(files.Truncate(folder / "x", 2).ok());
  CHECK(files.ReadAll(folder / "x", 100).value() == "01");
  CHECK_FALSE(files.Create(folder / "x").ok());
}

TEST_CASE("What is no file is refused at once and told in one sentence", "[store]") {
  const TemporaryFolder folder;
  FileSystem& files = RealFileSystem();
  REQUIRE(::mkfifo((folder / "pipe").c_str(), 0600) == 0);
  CHECK(files.ReadAll(folder / "pipe", 10).error().code == ErrorCode::kUnreadable);
  CHECK(files.ReadAll(folder.path(), 10).error().code == ErrorCode::kUnreadable);
  CHECK(files.ReadAll("/dev/zero", 10).error().message == "'/dev/zero' is not a file.");
  CHECK(files.ReadAll(folder / "none", 10).error().code == ErrorCode::kUnreadable);
  CHECK(files.Stat(folder / "none").value().type == FileType::kAbsent);
  CHECK(files.Stat(folder / "pipe").value().type == FileType::kOther);
  REQUIRE(ReplaceFile(files, folder / "x", "12345678901").ok());
  CHECK_FALSE(files.ReadAll(folder / "x", 10).ok());
  CHECK(files.ReadAll(folder / "x", 11).ok());
}

TEST_CASE("A lock is held once and freed with its holder", "[store]") {
  const TemporaryFolder folder;
  FileSystem& files = RealFileSystem();
  {
    auto first = files.Lock(folder / "lock");
    REQUIRE(first.ok());
    CHECK(files.Lock(folder / "lock").error().code == ErrorCode::kUnwritable);
  }
  CHECK(files.Lock(folder / "lock").ok());
}

TEST_CASE("A folder is removed with all that is in it, but not what its links point to", "[store]") {
  const TemporaryFolder folder;
  FileSystem& files = RealFileSystem();
  REQUIRE(MakeFolders(files, folder / "kept").ok());
  REQUIRE(ReplaceFile(files, folder / "kept/x", "one").ok());
  REQUIRE(MakeFolders(files, folder / "gone/a/b").ok());
  REQUIRE(ReplaceFile(files, folder / "gone/a/y", "two").ok());
  std::filesystem::create_directory_symlink(folder / "kept", folder / "gone/a/link");
  CHECK(RemoveTree(files, folder / "gone").ok());
  CHECK(files.Stat(folder / "gone")->type == FileType::kAbsent);
  CHECK(files.ReadAll(folder / "kept/x", 10).value() == "one");
  CHECK(RemoveTree(files, folder / "gone").ok());
}

TEST_CASE("A temporary file is never taken for a leftover while it is being written", "[store]") {
  const TemporaryFolder folder;
  // At each call by which the file is written, the folder is tidied up.
  WatchedFiles watched(RealFileSystem(), [&](int, const std::string&) -> Status {
    RemoveLeftovers(RealFileSystem(), folder.path());
    return {};
  });
  CHECK(ReplaceFile(watched, folder / "x", "one").ok());
  CHECK(WriteNewFile(watched, folder / "y", "two").ok());
  // And between those calls too.
  std::atomic<bool> done{false};
  std::thread other([&] {
    while (!done) RemoveLeftovers(RealFileSystem(), folder.path());
  });
  int failed = 0;
  for (int i = 0; i < 2000; ++i) failed += ReplaceFile(RealFileSystem(), folder / "z", "three").ok() ? 0 : 1;
  done = true;
  other.join();
  CHECK(failed == 0);
}

TEST_CASE("A new file never takes the place of what came under its name at the last moment", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "x";
  const auto come = [&](const char* what) {
    if (std::string(what) == "file")
      std::ofstream(path) << "precious";
    else
      std::filesystem::create_symlink("nowhere", path);
  };
  for (const char* what : {"file", "link"}) {
    INFO(what);
    WatchedFiles watched(RealFileSystem(), [&](int, const std::string& call) -> Status {
      if (call == "rename") come(what);
      return {};
    });
    const Status written = WriteNewFile(watched, path, "new");
    REQUIRE_FALSE(written.ok());
    CHECK(written.error().message ==
          "'" + path + "' is there already: give another name, or remove it first.");
    CHECK(RealFileSystem().List(folder.path()).value() == std::vector<std::string>{"x"});
    CHECK(std::filesystem::is_symlink(path) == (std::string(what) == "link"));
    if (std::string(what) == "file") CHECK(RealFileSystem().ReadAll(path, 100).value() == "precious");
    std::filesystem::remove(path);
  }
  CHECK(WriteNewFile(RealFileSystem(), path, "new").ok());
  CHECK(RealFileSystem().ReadAll(path, 100).value() == "new");
}

TEST_CASE("What is locked is what has the name, and what is gone is not made again", "[store]") {
  const TemporaryFolder folder;
  FileSystem& files = RealFileSystem();
  CHECK_FALSE(files.LockExisting(folder / "none").ok());
  CHECK(files.List(folder.path())->empty());
  REQUIRE(MakeFolders(files, folder / "inside").ok());
  {
    const auto lock = files.LockExisting(folder / "inside");
    REQUIRE(lock.ok());
    CHECK_FALSE(files.LockExisting(folder / "inside").ok());
  }
  CHECK(files.LockExisting(folder / "inside").ok());
  // One that waits gets the lock as soon as it is free.
  auto held = files.Lock(folder / "lock");
  REQUIRE(held.ok());
  CHECK_FALSE(files.Lock(folder / "lock").ok());
  bool got = false;
  std::thread waiting([&] { got = files.Lock(folder / "lock", std::chrono::minutes(5)).ok(); });
  held->reset();
  waiting.join();
  CHECK(got);
}

}  // namespace afterscope
