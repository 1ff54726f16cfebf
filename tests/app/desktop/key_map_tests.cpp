// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/key_map.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <string>

namespace afterscope {

TEST_CASE("A chord is read and written back", "[keys]") {
  for (const char* text : {"Space", "Ctrl+Z", "Ctrl+Shift+Z", "Left", "+", "Ctrl++", "F1", "7"}) {
    const auto chord = ParseChord(text);
    REQUIRE(chord);
    CHECK(ChordText(*chord) == text);
  }
  CHECK(ParseChord("z")->key == "Z");
  CHECK_FALSE(ParseChord(""));
  CHECK(ParseChord("Ctrl+")->key == "Ctrl+");  // no key is called so: it simply never comes
}

TEST_CASE("A key map finds the action of a chord and the first key of an action", "[keys]") {
  const auto map = KeyMap::Parse(R"({"version": 1, "keys": {"play": ["Space", "K"], "undo": ["Ctrl+Z"]}})");
  REQUIRE(map);
  CHECK(map->ActionOf({"K"}) == "play");
  CHECK(map->ActionOf({"Z", true}) == "undo");
  CHECK(map->ActionOf({"Z"}).empty());
  CHECK(map->KeyFor("play") == "Space");
  CHECK(map->KeyFor("fly").empty());
  const auto& lines = map->Lines();
  REQUIRE(lines.size() == 2);
  CHECK(lines[0].action == "play");
  CHECK(lines[0].keys == std::vector<std::string>{"Space", "K"});
  CHECK(lines[1].keys == std::vector<std::string>{"Ctrl+Z"});
}

TEST_CASE("The user's own keys replace those of an action and are taken from others", "[keys]") {
  const std::string shipped =
      R"({"keys": {"play": ["Space", "K"], "undo": ["Ctrl+Z"], "fit": ["Z"]}, "headings": {"undo": "The case"}})";
  const auto map = KeyMap::Parse(shipped, R"({"keys": {"undo": ["K"], "fit": []}})");
  REQUIRE(map);
  CHECK(map->ActionOf({"K"}) == "undo");
  CHECK(map->ActionOf({"Z", true}).empty());
  CHECK(map->ActionOf({"Z"}).empty());
  CHECK(map->ActionOf({"Space"}) == "play");
  const auto& lines = map->Lines();
  REQUIRE(lines.size() == 3);
  CHECK(lines[0].action == "play");
  CHECK(lines[0].keys == std::vector<std::string>{"Space"});
  CHECK(lines[1].heading == "The case");
  CHECK(map->KeyFor("fit").empty());
  CHECK_FALSE(KeyMap::Parse(shipped, R"({"keys": {"undo": ["K"], "fit": ["K"]}})"));
}

TEST_CASE("A key map that is not right is refused with a sentence", "[keys]") {
  for (const char* text : {"", "[]", "{}", R"({"keys": 3})", R"({"keys": {"play": "Space"}})",
                           R"({"keys": {"play": [3]}})", R"({"keys": {"play": ["A"], "undo": ["A"]}})"}) {
    const auto map = KeyMap::Parse(text);
    REQUIRE_FALSE(map);
    CHECK_FALSE(map.error().message.empty());
  }
}

TEST_CASE("The key map that comes with the program is right", "[keys]") {
  const auto map = KeyMap::Load(std::string(places::kAssets) + "/keys.json");
  REQUIRE(map);
  for (const char* action : {"play", "next frame", "previous frame", "undo", "redo", "remark", "take over"})
    CHECK_FALSE(map->KeyFor(action).empty());
}

TEST_CASE("A button without a key lies in a side sheet, where the keys that go through a sheet reach it",
          "[keys]") {
  // Words of which one holds, in forms of a sheet; in the notes the digit or letter stands in the words.
  const std::set<std::string> in_forms{
      "case_fields.cpp",      "report_words_panel.cpp", "cases_sheet.cpp", "note_panel.cpp", "ask_panel.cpp",
      "picture_controls.cpp", "later_fields.cpp",       "widgets.cpp",     "marks_sheet.cpp"};
  const std::regex keyless(R"re(WordButton\(|\.Add\([^;]*?, ""|KeyedButton\([^;]*?, "")re");
  const std::filesystem::path desktop = std::filesystem::path(places::kAssets).parent_path() / "app/desktop";
  std::set<std::string> found;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(desktop)) {
    if (entry.path().extension() != ".cpp") continue;
    std::ifstream file(entry.path());
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    if (std::regex_search(text, keyless)) found.insert(entry.path().filename().string());
  }
  for (const std::string& name : found) {
    INFO(name);
    CHECK(in_forms.contains(name));
  }
  CHECK(found.contains("case_fields.cpp"));
}

TEST_CASE("Every action that the window carries out or draws the key of has a key", "[keys]") {
  const auto map = KeyMap::Load(std::string(places::kAssets) + "/keys.json");
  REQUIRE(map);
  const std::regex action(R"re((?:action == |KeyFor\()"([^"]+)"(?! \+))re");
  int found = 0;
  const std::filesystem::path desktop = std::filesystem::path(places::kAssets).parent_path() / "app/desktop";
  for (const auto& entry : std::filesystem::recursive_directory_iterator(desktop)) {
    if (entry.path().extension() != ".cpp") continue;
    std::ifstream file(entry.path());
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    for (std::sregex_iterator each(text.begin(), text.end(), action), end; each != end; ++each, ++found) {
      const std::string name = (*each)[1];
      INFO(name << " in " << entry.path());
      // The table of new recordings has its keys to itself, whatever the key map says.
      CHECK((name == "make cases" || !map->KeyFor(name).empty()));
    }
  }
  CHECK(found > 100);
}

}  // namespace afterscope
