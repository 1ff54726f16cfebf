// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/step_list_file.hpp"
#include "app/desktop/desk/step_list_edits.hpp"
#include "tests/support/places.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

StepList TwoSteps() {
  StepList list;
  list.id = "mine";
  list.name = "Mine";
  list.steps = {
      {"rhexis", "Rhexis", "r", false}, {"cortex", "Cortex", "c", false}, {"stain", "Stain", "1", true}};
  return list;
}

}  // namespace

TEST_CASE("A new step gets a key of its own, a free shortcut, and its place before the add-ons",
          "[steplist]") {
  StepList list = TwoSteps();
  CHECK(AddStep(list, "  Iris hooks ") == "iris_hooks");
  REQUIRE(list.steps.size() == 4);
  CHECK(list.steps[2].name == "Iris hooks");
  CHECK(list.steps[2].shortcut == "2");  // 1 is taken
  CHECK(AddStep(list, "Iris hooks") == "iris_hooks");
  CHECK(list.steps.size() == 4);
  CHECK(AddStep(list, "শিক্ষা") == "step");
  CHECK(AddStep(list, "Rhexis!") == "rhexis_2");
  CHECK(AddStep(list, "   ").empty());
}

TEST_CASE("A shortcut is refused with a sentence where it can't be one", "[steplist]") {
  StepList list = TwoSteps();
  CHECK_FALSE(SetShortcut(list, "rhexis", "t").empty());  // take-over
  CHECK_FALSE(SetShortcut(list, "rhexis", "ab").empty());
  CHECK(SetShortcut(list, "rhexis", "c").find("Cortex") != std::string::npos);
  CHECK(list.steps[0].shortcut == "r");
  CHECK(SetShortcut(list, "rhexis", "X").empty());
  CHECK(list.steps[0].shortcut == "x");
  CHECK(SetShortcut(list, "rhexis", "").empty());
  CHECK(list.steps[0].shortcut.empty());
}

TEST_CASE("Steps change place and go; the ends of the list hold", "[steplist]") {
  StepList list = TwoSteps();
  MoveStep(list, "rhexis", -1);
  CHECK(list.steps[0].key == "rhexis");
  MoveStep(list, "rhexis", 1);
  CHECK(list.steps[1].key == "rhexis");
  MoveStep(list, "stain", 1);
  CHECK(list.steps[2].key == "stain");
  RenameStepOfList(list, "rhexis", "Capsulorhexis");
  CHECK(list.steps[1].name == "Capsulorhexis");
  RemoveStepOfList(list, "rhexis");
  CHECK(list.steps.size() == 2);
  RemoveStepOfList(list, "nothing");
  CHECK(list.steps.size() == 2);
}

TEST_CASE("A changed list is kept as a file and read back as it was", "[steplist]") {
  const TemporaryFolder folder;
  const std::string path = folder / "mine.json";
  StepList list = TwoSteps();
  list.checks = {{"whole", "Rhexis complete", "rhexis"}};
  AddStep(list, "Iris hooks");
  REQUIRE(SaveStepList(list, path));
  const auto back = LoadStepListFile(path);
  REQUIRE(back);
  REQUIRE(back->steps.size() == list.steps.size());
  for (std::size_t i = 0; i < list.steps.size(); ++i) {
    CHECK(back->steps[i].key == list.steps[i].key);
    CHECK(back->steps[i].name == list.steps[i].name);
    CHECK(back->steps[i].shortcut == list.steps[i].shortcut);
    CHECK(back->steps[i].add_on == list.steps[i].add_on);
  }
  CHECK(back->checks.size() == 1);
  list.id = "no id!";
  CHECK_FALSE(SaveStepList(list, path));
}

}  // namespace afterscope
