// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/step_list_file.hpp"
#include "tests/support/places.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("Every step list of the assets loads, add-ons with it", "[store]") {
  const std::vector<std::string> ids = StepListIds(places::kAssets);
  CHECK(ids == std::vector<std::string>{"empty", "manual_small_incision", "phacoemulsification",
                                        "vitrectomised_eye"});
  for (const std::string& id : ids) {
    CaseRecord record;
    record.step_list = id;
    const auto list = LoadStepList(record, "/nowhere", places::kAssets);
    INFO((list.ok() ? id : list.error().message));
    REQUIRE(list.ok());
    CHECK(list->id == id);
    CHECK(list->NameOf("stain") == "Stain");
    for (const CheckKind& check : list->checks) CHECK((check.step.empty() || list->Find(check.step)));
  }
  CHECK(LoadStepList({}, "/nowhere", places::kAssets)->steps.front().key == "side_port");
  CaseRecord record;
  record.step_list = "vitrectomised_eye";
  const auto list = LoadStepList(record, "/nowhere", places::kAssets);
  CHECK(list->Find("rhexis"));
  CHECK(list->Find("plaque"));
  for (const auto& [file, member] :
       {std::pair{"difficulty", "difficulties"}, {"complications", "complications"}})
    CHECK(LoadNamedKeys(std::string(places::kAssets) + "/" + file + ".json", member)->size() > 10);
}

TEST_CASE("A step list that contradicts itself is refused", "[store]") {
  const TemporaryFolder folder;
  FileSystem& files = RealFileSystem();
  const std::pair<const char*, const char*> lists[] = {
      {R"({"id":"x","steps":[{"key":"a","name":"A"},{"key":"a","name":"B"}]})", "twice"},
      {R"({"id":"x","steps":[{"key":"a","name":"A","shortcut":"q"},{"key":"b","name":"B","shortcut":"q"}]})",
       "twice"},
      {R"({"id":"x","steps":[{"key":"a","name":"A","shortcut":"t"}]})", "can't be one"},
      {R"({"id":"x","extends":"x","steps":[]})", "extension of itself"},
      {R"({"id":"x","steps":[{"name":"A"}]})", "nothing"},
      {R"({"id":"x","steps":{}})", "list"},
      {R"([])", "object"},
  };
  for (const auto& [text, word] : lists) {
    REQUIRE(ReplaceFile(files, folder / "x.json", text).ok());
    const auto list = LoadStepListFile(folder / "x.json");
    INFO(text);
    REQUIRE_FALSE(list.ok());
    CHECK(list.error().message.find(word) != std::string::npos);
  }
  CaseRecord record;
  record.step_list = "../../etc/passwd";
  CHECK_FALSE(LoadStepList(record, folder.path(), places::kAssets).ok());
}

TEST_CASE("A list beside the case goes before the one of the assets", "[store]") {
  const TemporaryFolder folder;
  REQUIRE(ReplaceFile(RealFileSystem(), folder / "phacoemulsification.json",
                      R"({"id":"phacoemulsification","name":"Ours","steps":[{"key":"a","name":"A"}]})")
              .ok());
  CHECK(LoadStepList({}, folder.path(), places::kAssets)->name == "Ours");
}

TEST_CASE("A step list longer than any operation is refused", "[store]") {
  const TemporaryFolder folder;
  StepList more{"add_ons", "More", {{"one", "One", "", true}}, {}};
  REQUIRE(SaveStepList(more, folder / "add_ons.json", RealFileSystem()).ok());
  const auto loads = [&](int steps, int add_ons) {
    StepList list;
    list.id = "x";
    for (int i = 0; i < steps + add_ons; ++i)
      list.steps.push_back({"s" + std::to_string(i), "S", "", i >= steps});
    return SaveStepList(list, folder / "x.json", RealFileSystem()).ok() &&
           LoadStepListFile(folder / "x.json").ok();
  };
  CHECK(loads(180, 20));
  CHECK_FALSE(loads(181, 20));
  CHECK_FALSE(loads(20, 21));
}

}  // namespace afterscope
