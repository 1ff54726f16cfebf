// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/clip_plan_json.hpp"
#include "app/desktop/clips/clip_keeper.hpp"
#include "tests/app/desktop/player/player_support.hpp"

#include <catch2/catch.hpp>

#include <chrono>
#include <filesystem>
#include <future>
#include <vector>

namespace afterscope {
namespace {

struct Desk {
  JobRunner jobs{1};
  std::vector<std::string> said;
  SheetCalls calls{
      jobs, [this](const std::string& text, bool) { said.push_back(text); }, {}, {}, {}, {}, {}, {}, {}, {}};
};

bool Opens(ClipKeeper& keeper, Desk& desk, const std::string& folder) {
  return ComesTrue([&] {
    keeper.Follow(folder);
    desk.jobs.Drain();
    return keeper.ready();
  });
}

ClipPlan WithParts(ClipPlan plan, int count) {
  plan.parts.assign(static_cast<std::size_t>(count), {});
  for (ClipPart& part : plan.parts) part.end = {0, Pts{100}};
  return plan;
}

std::size_t PartsOnDisk(const std::string& folder) {
  const auto plan = LoadClipPlan(folder, "clip");
  return plan.ok() ? plan->parts.size() : 0;
}

}  // namespace

TEST_CASE("A clip plan is on the disk as soon as it is changed", "[clips]") {
  const TemporaryFolder folder;
  Desk desk;
  ClipKeeper keeper(desk.calls);
  REQUIRE(Opens(keeper, desk, folder.path()));
  CHECK(keeper.plan().parts.empty());
  CHECK_FALSE(std::filesystem::exists(folder / "clips"));

  keeper.Change(WithParts(keeper.plan(), 1));
  CHECK(ComesTrue([&] {
    keeper.Follow(folder.path());
    desk.jobs.Drain();
    return PartsOnDisk(folder.path()) == 1;
  }));
  keeper.Change(WithParts(keeper.plan(), 2));
  keeper.Follow(folder.path());
  keeper.Change(WithParts(keeper.plan(), 3));
  keeper.SaveNow();
  CHECK(PartsOnDisk(folder.path()) == 3);

  ClipKeeper again(desk.calls);
  REQUIRE(Opens(again, desk, folder.path()));
  CHECK(again.plan() == keeper.plan());
  CHECK(desk.said.empty());
}

TEST_CASE("A clip plan without parts leaves no file, and another case has a plan of its own", "[clips]") {
  const TemporaryFolder first, second;
  Desk desk;
  ClipKeeper keeper(desk.calls);
  REQUIRE(Opens(keeper, desk, first.path()));
  keeper.Change(WithParts(keeper.plan(), 2));
  REQUIRE(Opens(keeper, desk, second.path()));  // the change of the first case is kept on the way
  CHECK(PartsOnDisk(first.path()) == 2);
  CHECK(keeper.plan().parts.empty());
  CHECK_FALSE(keeper.Undo());
  REQUIRE(Opens(keeper, desk, first.path()));
  CHECK(keeper.plan().parts.size() == 2);
  keeper.Change(WithParts(keeper.plan(), 0));
  keeper.SaveNow();
  CHECK_FALSE(std::filesystem::exists(first / "clips/clip.json"));
}

TEST_CASE("Saving at once does not wait for the jobs before it, and what waited does not undo it",
          "[clips]") {
  const TemporaryFolder folder;
  Desk desk;
  ClipKeeper keeper(desk.calls);
  REQUIRE(Opens(keeper, desk, folder.path()));
  std::promise<void> release;
  const JobHandle before = desk.jobs.Start(
      "",
      [free = release.get_future().share()](const Progress&, const StopQuery&) {
        return free.wait_for(std::chrono::seconds(20)) == std::future_status::ready;
      },
      [](bool) {});
  keeper.Change(WithParts(keeper.plan(), 2));
  keeper.Follow(folder.path());  // starts to save, behind it
  keeper.Change(WithParts(keeper.plan(), 3));
  keeper.SaveNow();
  CHECK_FALSE(before->ended());
  CHECK(PartsOnDisk(folder.path()) == 3);
  release.set_value();
  CHECK(ComesTrue([&] {
    desk.jobs.Drain();
    return desk.jobs.Idle();
  }));
  CHECK(PartsOnDisk(folder.path()) == 3);
}

TEST_CASE("A plan that is held stays when another case is opened", "[clips]") {
  const TemporaryFolder folder;
  Desk desk;
  ClipKeeper keeper(desk.calls);
  const std::string one = folder / "one", other = folder / "other";
  REQUIRE(std::filesystem::create_directories(one));
  REQUIRE(std::filesystem::create_directories(other));
  REQUIRE(Opens(keeper, desk, one));
  keeper.Change(WithParts(keeper.plan(), 1));
  keeper.Hold(true);
  keeper.Follow(other);
  CHECK(keeper.folder() == one);
  CHECK(keeper.NameOf(one).empty());
  CHECK(keeper.NameOf(other) == "../other");
  CHECK(keeper.plan().parts.size() == 1);
  keeper.Hold(false);
  REQUIRE(Opens(keeper, desk, other));
  CHECK(keeper.plan().parts.empty());
  CHECK(PartsOnDisk(one) == 1);
}

}  // namespace afterscope
