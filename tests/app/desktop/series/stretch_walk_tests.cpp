// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/series/series_files.hpp"
#include "app/desktop/series/stretch_walk.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

using Act = StretchWalk::Act;

Stretch Of(const char* folder, double start, double end) {
  Stretch stretch;
  stretch.folder = folder;
  stretch.start_s = start;
  stretch.end_s = end;
  return stretch;
}

std::vector<Stretch> TwoCases() { return {Of("/a", 10, 20), Of("/a", 40, 45), Of("/b", 5, 8)}; }

}  // namespace

TEST_CASE("Stretches are played one after another, within a case and across cases", "[series]") {
  StretchWalk walk;
  CHECK(walk.Follow({"/a", true, 0, 60, false}) == Act::kNothing);
  walk.Start(TwoCases(), 0);
  CHECK(walk.Follow({"", false, 0, 0, false}) == Act::kOpen);
  CHECK(walk.Follow({"", false, 0, 0, false}) == Act::kNothing);  // it is being opened
  CHECK(walk.Follow({"/a", false, 0, 0, false}) == Act::kNothing);
  CHECK(walk.Follow({"/a", true, 0, 60, false}) == Act::kPlay);
  CHECK(walk.Follow({"/a", true, 0, 60, false}) == Act::kNothing);  // the jump has not arrived
  CHECK(walk.Follow({"/a", true, 10, 60, true}) == Act::kNothing);
  CHECK(walk.Follow({"/a", true, 15, 60, false}) == Act::kNothing);  // paused
  CHECK(walk.Follow({"/a", true, 19.9, 60, true}) == Act::kNothing);
  CHECK(walk.place() == 0);
  walk.Follow({"/a", true, 20.1, 60, true});
  CHECK(walk.place() == 1);
  CHECK(walk.Follow({"/a", true, 20.2, 60, true}) == Act::kPlay);  // the case is open already
  walk.Follow({"/a", true, 40, 60, true});
  walk.Follow({"/a", true, 45, 60, true});
  CHECK(PlaceText(walk) == "3 of 3");
  CHECK(walk.Follow({"/a", true, 45, 60, true}) == Act::kOpen);
  CHECK(walk.Follow({"/b", true, 0, 9, false}) == Act::kPlay);
  walk.Follow({"/b", true, 5, 9, true});
  CHECK(walk.Follow({"/b", true, 8.1, 9, true}) == Act::kRest);
  CHECK_FALSE(walk.on());
}

TEST_CASE("A stretch at the end of its case ends with it; a jump or another case ends the walk", "[series]") {
  StretchWalk walk;
  const auto playing = [&](double at) {
    walk.Start(TwoCases(), 0);
    walk.Follow({"/a", true, 0, 60, false});
    walk.Follow({"/a", true, at, 60, true});
  };
  playing(10);
  walk.Follow({"/a", true, 50, 60, true});  // far beyond
  CHECK_FALSE(walk.on());
  playing(10);
  walk.Follow({"/a", true, 2, 60, true});
  CHECK_FALSE(walk.on());
  playing(10);
  walk.Follow({"/c", true, 12, 60, false});
  CHECK_FALSE(walk.on());
  playing(10);
  walk.Turn(-1);
  CHECK(walk.place() == 2);
  walk.Start({Of("/a", 50, 75), Of("/b", 1, 2)}, 0);  // a moment's stretch goes beyond the end
  walk.Follow({"/a", true, 0, 60, false});
  walk.Follow({"/a", true, 50, 60, true});
  CHECK(walk.Follow({"/a", true, 59, 60, true}) == Act::kNothing);
  walk.Follow({"/a", true, 59.96, 60, false});
  CHECK(walk.place() == 1);
  walk.Start(TwoCases(), 7);
  CHECK_FALSE(walk.on());
}

TEST_CASE("What is written of a series lies beside the cases under a name that any system takes",
          "[series]") {
  CHECK(SeriesPaperPath(SeriesPaper::kSeries, "/c", "") == "/c/series.pdf");
  CHECK(SeriesPaperPath(SeriesPaper::kLogbook, "/c", "T-07") == "/c/logbook-T-07.csv");
  CHECK(SeriesPaperPath(SeriesPaper::kProgress, "/c", "../a b") == "/c/progress-ab.pdf");
}

}  // namespace afterscope
