// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_session.hpp"
#include "annotate/store/index/case_index.hpp"
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/places.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <filesystem>
#include <fstream>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

// Runs the program with a user's folders of its own.
std::string RunAtHome(const TemporaryFolder& folder, const std::string& arguments, int wanted = 0) {
  int status = 0;
  std::string out = OutputOf(
      fmt::format(
          "cd {0} && XDG_DATA_HOME={0}/data XDG_CACHE_HOME={0}/cache XDG_CONFIG_HOME={0}/config {1} {2} 2>&1",
          folder.path(), places::kProgram, arguments),
      &status);
  CHECK(status == wanted);
  return out;
}

void WriteWithFolders(const std::string& path, const std::string& text) {
  fs::create_directories(fs::path(path).parent_path());
  std::ofstream(path, std::ios::binary) << text;
}

// Whether any file of a folder holds these bytes.
bool AnyFileHolds(const std::string& folder, const std::string& bytes) {
  if (!fs::exists(folder)) return false;
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    if (entry.is_regular_file() && Has(BytesOf(entry.path().string()), bytes)) return true;
  return false;
}

// Two cases, one with a recording in its folder, both known to the index and to the list of what was opened.
void MakeCases(const TemporaryFolder& folder) {
  REQUIRE(std::system(fmt::format("mkdir -p {0}/cases/kestrel && ffmpeg -v error -f lavfi -i "
                                  "testsrc=d=1:s=64x48:r=25 {0}/cases/v.mp4",
                                  folder.path())
                          .c_str()) == 0);
  RunAtHome(folder, "new cases/kestrel --recording cases/v.mp4 --set code=kestrel --set operator_code=o1");
  RunAtHome(folder, "new cases/plover --recording cases/v.mp4 --set code=plover --set operator_code=o1");
  RunAtHome(folder, "tag cases/kestrel --step rhexis --at 0");
  RunAtHome(folder, "tag cases/kestrel --moment remark --text osprey --at 0.5");
  RunAtHome(folder, "series cases --json all.json");
  WriteWithFolders(folder / "config/afterscope/window.json",
                   fmt::format(R"({{"light": true, "recent": ["{0}/cases/kestrel", "{0}/cases/plover"]}})",
                               folder.path()));
  WriteWithFolders(folder / "cases/kestrel/letter.txt", "the user's own");
}

}  // namespace

TEST_CASE("A case is forgotten only once it was shown, and then wholly", "[commands][forget]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  const std::string shown = RunAtHome(folder, "forget --case cases/kestrel");
  CHECK(Has(shown, "cases/kestrel/reviews\t"));
  CHECK(Has(shown, "cases/kestrel/journal\t"));
  CHECK(Has(shown, "Stays: " + folder / "cases/kestrel/letter.txt"));
  CHECK(Has(shown, "add --yes"));
  RunAtHome(folder, "check cases/kestrel");
  CHECK(AnyFileHolds(folder / "data", "kestrel"));

  RunAtHome(folder, "forget --case cases/kestrel --yes");
  CHECK(fs::exists(folder / "cases/v.mp4"));
  std::vector<std::string> left;
  for (const auto& entry : fs::directory_iterator(folder / "cases/kestrel"))
    left.push_back(entry.path().filename().string());
  CHECK(left == std::vector<std::string>{"letter.txt"});
  CHECK_FALSE(AnyFileHolds(folder / "data", "kestrel"));
  CHECK_FALSE(AnyFileHolds(folder / "data", "osprey"));
  CHECK_FALSE(AnyFileHolds(folder / "config", "kestrel"));
  CHECK_FALSE(AnyFileHolds(folder / "cache", "kestrel"));
  CHECK(Has(BytesOf(folder / "config/afterscope/window.json"), "light"));
  // The other case is as it was.
  CHECK(Has(RunAtHome(folder, "check cases/plover"), "whole"));
  CHECK(AnyFileHolds(folder / "data", "plover"));
  CHECK(Has(RunAtHome(folder, "forget --case cases/kestrel --yes", 3), "not a case folder"));
}

TEST_CASE("A case's small pictures, proxies and what was followed go with it, another's stay",
          "[commands][forget]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  const std::vector<std::string> kept{"0a1b.small", "0a1b.light.mp4", "burnt_in_words.json",
                                      "follow/r1-t1-0.json"};
  for (const std::string& name : kept) {
    WriteWithFolders(folder / "cases/kestrel/cache/" + name, "of kestrel");
    WriteWithFolders(folder / "cases/plover/cache/" + name, "of plover");
  }
  const std::string shown = RunAtHome(folder, "forget --case cases/kestrel");
  CHECK(Has(shown, "cases/kestrel/cache\tsmall pictures, proxies and kept findings"));
  for (const std::string& name : kept)  // only shown
    CHECK(BytesOf(folder / "cases/kestrel/cache/" + name) == "of kestrel");

  RunAtHome(folder, "forget --case cases/kestrel --yes");
  CHECK_FALSE(fs::exists(folder / "cases/kestrel/cache"));
  CHECK_FALSE(AnyFileHolds(folder / "cases", "of kestrel"));
  for (const std::string& name : kept) CHECK(BytesOf(folder / "cases/plover/cache/" + name) == "of plover");
}

TEST_CASE("A removal that was cut short can be asked for again", "[commands][forget]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  fs::rename(folder / "cases/plover/case.json", folder / "cases/plover/case.json.forgotten");
  RunAtHome(folder, "check cases/plover");  // the journal has it still
  fs::rename(folder / "cases/plover/journal", folder / "cases/plover/journal.forgotten");
  fs::remove(folder / "cases/plover/case.json");
  CHECK(Has(RunAtHome(folder, "check cases/plover", 3), "plover"));
  CHECK(Has(RunAtHome(folder, "forget --case cases/plover"), "journal.forgotten"));
  RunAtHome(folder, "forget --case cases/plover --yes");
  CHECK_FALSE(fs::exists(folder / "cases/plover"));
}

TEST_CASE("What is named as the index and is none is not removed", "[commands][forget]") {
  const TemporaryFolder folder;
  WriteWithFolders(folder / "v.mp4", "no database");
  fs::create_directories(folder / "operations");
  WriteWithFolders(folder / "operations/a.mp4", "a recording");
  WriteWithFolders(folder / "made.sqlite", "");
  fs::create_directories(folder / "made.sqlite-wal");
  for (const char* name : {"v.mp4", "operations", "made.sqlite"})
    CHECK(Has(RunAtHome(folder, fmt::format("forget --index {} --yes", name), 2), "is no index of cases"));
  CHECK(BytesOf(folder / "v.mp4") == "no database");
  CHECK(fs::exists(folder / "operations/a.mp4"));
  CHECK(fs::exists(folder / "made.sqlite-wal"));
}

TEST_CASE("What is kept outside the cases goes, the cases and the user's keys stay", "[commands][forget]") {
  const TemporaryFolder folder;
  CHECK(Has(RunAtHome(folder, "forget"), "Nothing is kept"));
  MakeCases(folder);
  RunAtHome(folder, "measure cases/kestrel --json m.json");
  WriteWithFolders(folder / "config/afterscope/keys.json", "{}");
  RunAtHome(folder, "forget");
  CHECK(fs::exists(folder / "data/afterscope/cases.sqlite"));
  RunAtHome(folder, "forget --yes");
  CHECK_FALSE(fs::exists(folder / "data/afterscope/cases.sqlite"));
  CHECK_FALSE(AnyFileHolds(folder / "config", "kestrel"));
  CHECK(fs::exists(folder / "config/afterscope/keys.json"));
  if (fs::exists(folder / "cache/afterscope")) CHECK(fs::is_empty(folder / "cache/afterscope"));
  RunAtHome(folder, "check cases/kestrel");
  CHECK(Has(RunAtHome(folder, "forget"), "Nothing is kept"));
}

TEST_CASE("The window's settings forget every path of a case, its recordings' too", "[commands][forget]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  const std::string settings = folder / "config/afterscope/window.json";
  const std::string full = fmt::format(
      R"({{"light": true, "recent": ["{0}/cases/v.mp4", "{0}/cases/plover"],
          "reviews": [["{0}/cases/kestrel", "r1"], ["{0}/cases/plover", "r1"]],
          "blinded_folder": "{0}/cases/kestrel"}})",
      folder.path());
  WriteWithFolders(settings, full);
  const std::string shown = RunAtHome(folder, "forget --case cases/kestrel");
  CHECK(Has(shown, "the path " + folder / "cases/kestrel in the window"));
  CHECK(Has(shown, "the path " + folder / "cases/v.mp4 in the window"));
  RunAtHome(folder, "forget --case cases/kestrel --yes");
  CHECK_FALSE(Has(BytesOf(settings), "kestrel"));
  CHECK_FALSE(Has(BytesOf(settings), "v.mp4"));
  CHECK(Has(BytesOf(settings), folder / "cases/plover\",\n"));  // opened, and chosen
  // All of them, also where nothing was opened lately.
  WriteWithFolders(settings, full);
  RunAtHome(folder, "forget --yes");
  CHECK_FALSE(Has(BytesOf(settings), folder.path()));
  CHECK(Has(BytesOf(settings), "light"));
  WriteWithFolders(settings, fmt::format(R"({{"reviews": [["{}/cases/plover", "r1"]]}})", folder.path()));
  CHECK(Has(RunAtHome(folder, "forget"), "cases/plover in the window"));
}

TEST_CASE("A case is forgotten in the user's own index too where another is named", "[commands][forget]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  RunAtHome(folder, "series cases --index named/named.sqlite");
  RunAtHome(folder, "forget --case cases/kestrel --yes --index named/named.sqlite");
  for (const char* place : {"data", "named"}) {
    CHECK_FALSE(AnyFileHolds(folder / place, "kestrel"));
    CHECK(AnyFileHolds(folder / place, "plover"));
  }
  RunAtHome(folder, "forget --yes --index named/named.sqlite");
  CHECK_FALSE(AnyFileHolds(folder / "data", "plover"));
  CHECK_FALSE(AnyFileHolds(folder / "named", "plover"));
  const std::string left = RunAtHome(folder, "forget --index postgresql://u:hushhush@/x?host=/nowhere");
  CHECK(Has(left, "keeps its rows of cases"));
  CHECK_FALSE(Has(left, "hushhush"));
  CHECK_FALSE(Has(left, "outside the cases."));
}

TEST_CASE("Another program that has the index open keeps nothing of a forgotten case", "[commands][forget]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  auto open = CaseIndex::Open(folder / "data/afterscope/cases.sqlite");
  REQUIRE((*open)->CasesUnder(folder.path())->size() == 2);
  RunAtHome(folder, "tag cases/kestrel --set operation=phaco");
  RunAtHome(folder, "series cases");
  RunAtHome(folder, "forget --case cases/kestrel --yes");
  CHECK_FALSE(AnyFileHolds(folder / "data", "kestrel"));
  CHECK_FALSE(AnyFileHolds(folder / "data", "osprey"));
}

TEST_CASE("Of a case that another program has open nothing is forgotten", "[commands][forget]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  RunAtHome(folder, "measure cases/kestrel --json m.json");
  const auto cache = [&] {
    std::vector<std::string> names;
    fs::create_directories(folder / "cache");
    for (const auto& entry : fs::recursive_directory_iterator(folder / "cache"))
      names.push_back(entry.path().string());
    return names;
  };
  const std::vector<std::string> before = cache();
  {
    const auto session = CaseSession::Open(folder / "cases/kestrel", {});
    REQUIRE_FALSE((*session)->read_only());
    CHECK(Has(RunAtHome(folder, "forget --case cases/kestrel --yes", 5), "kestrel"));
  }
  CHECK(AnyFileHolds(folder / "data", "kestrel"));
  CHECK(AnyFileHolds(folder / "config", "kestrel"));
  CHECK(cache() == before);
  RunAtHome(folder, "check cases/kestrel");
  RunAtHome(folder, "forget --case cases/kestrel --yes");
}

TEST_CASE("Cases that could not be looked at for their date are told", "[commands][forget]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  CHECK(RunAtHome(folder, "forget --overdue cases --json -") == "[]\n");
  RunAtHome(folder, "forget --json x.json", 2);
  fs::create_directories(folder / "cases/1/2/3/4");
  RunAtHome(folder, "forget --overdue cases");
  fs::create_directories(folder / "cases/1/2/3/4/5");
  CHECK(Has(RunAtHome(folder, "forget --overdue cases", 1), "cases/1/2/3/4/5"));
  fs::remove_all(folder / "cases/1");
  WriteWithFolders(folder / "cases/plover/case.json", "no record");
  fs::remove(folder / "cases/plover/journal");
  CHECK(Has(RunAtHome(folder, "forget --overdue cases", 1), "plover"));
}

TEST_CASE("Consents whose date to delete by has passed are listed", "[commands][forget]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  RunAtHome(folder, "tag cases/kestrel --set 'consent.review=given until 2020-03-01'");
  RunAtHome(folder, "tag cases/plover --set 'consent.review=given until 2999-03-01'");
  const std::string listed = RunAtHome(folder, "forget --overdue cases");
  CHECK(Has(listed, "kestrel\treview\tto be deleted by 2020-03-01"));
  CHECK(Has(RunAtHome(folder, "forget --overdue cases --json -"), "\"delete_by\": \"2020-03-01\""));
  CHECK_FALSE(Has(listed, "plover"));
  CHECK(Has(RunAtHome(folder, "forget --overdue cases --case cases/kestrel", 2), "not both"));
}

TEST_CASE("A case with links is forgotten, and what they point to stays", "[commands][forget]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  WriteWithFolders(folder / "outside/precious", "kept");
  WriteWithFolders(folder / "outside/lock", "kept");
  fs::create_directories(folder / "cases/plover/clips");
  fs::create_symlink(".", folder / "cases/plover/clips/a");
  fs::create_symlink(folder / "outside", folder / "cases/plover/clips/usr");
  fs::remove_all(folder / "cases/plover/cache");
  fs::create_symlink(folder / "outside", folder / "cases/plover/cache");
  fs::remove(folder / "cases/plover/lock");
  fs::create_symlink(folder / "outside/new", folder / "cases/plover/lock");
  CHECK(Has(RunAtHome(folder, "forget --case cases/plover"), "cases/plover/clips\t"));
  RunAtHome(folder, "forget --case cases/plover --yes");
  CHECK_FALSE(fs::exists(folder / "cases/plover"));
  CHECK(BytesOf(folder / "outside/precious") == "kept");
  CHECK(BytesOf(folder / "outside/lock") == "kept");
  CHECK_FALSE(fs::exists(folder / "outside/new"));
}

TEST_CASE("The index forgets a case under the name that its folder had before", "[commands][forget]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  WriteWithFolders(folder / "cases/kestrel/notes.json", R"({"the user's": "own"})");
  fs::rename(folder / "cases/kestrel", folder / "cases/k1");
  SECTION("gone") {}
  SECTION("another case bears it now") {
    RunAtHome(folder, "new cases/kestrel --recording cases/v.mp4 --set code=wren");
  }
  CHECK(Has(RunAtHome(folder, "forget --case cases/k1 --yes"), "earlier name): of 1 others"));
  CHECK_FALSE(AnyFileHolds(folder / "data", "kestrel"));
  CHECK_FALSE(AnyFileHolds(folder / "data", "osprey"));
  CHECK(AnyFileHolds(folder / "data", "plover"));
  CHECK(fs::exists(folder / "cases/k1/notes.json"));
}

TEST_CASE("A scrub takes the case out of the index, and says in which ids the text stays",
          "[commands][scrub]") {
  const TemporaryFolder folder;
  MakeCases(folder);
  CHECK(AnyFileHolds(folder / "data", "osprey"));
  CHECK_FALSE(Has(RunAtHome(folder, "tag cases/kestrel --scrub Osprey"), "stays"));
  CHECK_FALSE(AnyFileHolds(folder / "data", "osprey"));
  CHECK(AnyFileHolds(folder / "data", "plover"));
  CHECK_FALSE(AnyFileHolds(folder / "data", "kestrel"));
  RunAtHome(folder, "series cases --json all.json");
  CHECK(AnyFileHolds(folder / "data", "kestrel"));
  CHECK_FALSE(AnyFileHolds(folder / "data", "osprey"));
  RunAtHome(folder, "tag cases/kestrel --review osprey-1 --step rhexis --at 0");
  CHECK(Has(RunAtHome(folder, "tag cases/kestrel --scrub Osprey"), "'Osprey' stays in the ids osprey-1, "));
}

}  // namespace afterscope
