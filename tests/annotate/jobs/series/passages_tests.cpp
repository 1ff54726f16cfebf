// SPDX-License-Identifier: Apache-2.0
#include "tests/annotate/jobs/series/series_support.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {
namespace {

// The first has the phases of a published operation (video 269 of 101, Schoeffmann et al. 2018, MMSys) to the
// tenth of a second under the names of our step list; the others are invented, with steps that recur, follow
// themselves, come in another order and are missing.
void AddOperations(TestSeries& series) {
  series.Add({"c1",
              "2024-01-01",
              {{"main_incision", 2.7, 41.7, "", false},
               {"viscoelastic", 41.7, 49.1, "", false},
               {"rhexis", 49.1, 84.7, "", false},
               {"hydrodissection", 84.7, 139.1, "", false},
               {"fragment_removal", 139.1, 274.6, "", false},
               {"cortex", 274.6, 309.1, "", false},
               {"polishing", 309.1, 338.9, "", false},
               {"viscoelastic", 338.9, 347.3, "", false},
               {"lens", 347.3, 379.3, "", false},
               {"viscoelastic_removal", 379.3, 565.5, "", false},
               {"hydration", 565.5, 584.9, "", false},
               {"hydration", 584.9, 589.4, "", false}}});
  series.Add({"c2",
              "2024-01-02",
              {{"main_incision", 0, 20, "", false},
               {"viscoelastic", 22.5, 39, "", false},
               {"rhexis", 40, 80, "", false},
               {"viscoelastic", 81.5, 89, "", false},
               {"rhexis", 90, 128, "", false},
               {"hydrodissection", 131, 155.5, "", false},
               {"fragment_removal", 160, 298, "", false},
               {"cortex", 300.5, 366, "", false},
               {"lens", 371, 401, "", false},
               {"viscoelastic_removal", 402, 455, "", false}}});
  series.Add({"c3",
              "2024-01-03",
              {{"viscoelastic", 3, 12.5, "", false},
               {"main_incision", 14, 50, "", false},
               {"rhexis", 52, 93.5, "", false},
               {"hydrodissection", 95, 118, "", false},
               {"fragment_removal", 120, 249, "", false},
               {"fragment_removal", 251, 260, "", false},
               {"cortex", 262, 325, "", false},
               {"viscoelastic", 330, 340, "", false},
               {"lens", 341, 377, "", false},
               {"viscoelastic_removal", 377.5, 428, "", false},
               {"hydration", 430, 441, "", false}}});
}

struct Passage {
  const char* from;
  const char* to;
  int count;
  double share;
  std::optional<std::array<double, 3>> gaps;  // quartiles
};

}  // namespace

// R 4.2.2: counts and shares by markovchain 0.9.1, createSequenceMatrix() and markovchainFit(), with a state
// before the first step and one after the last; gaps by tapply() of the next start less the end,
// quantile(type = 7).
TEST_CASE("What follows what, how often and after what gap is R's", "[series]") {
  const std::vector<Passage> by_r{{"", "main_incision", 2, 2.0 / 3, {}},
                                  {"", "viscoelastic", 1, 1.0 / 3, {}},
                                  {"cortex", "lens", 1, 1.0 / 3, {{5, 5, 5}}},
                                  {"cortex", "polishing", 1, 1.0 / 3, {{0, 0, 0}}},
                                  {"cortex", "viscoelastic", 1, 1.0 / 3, {{5, 5, 5}}},
                                  {"fragment_removal", "cortex", 3, 0.75, {{1, 2, 2.25}}},
                                  {"fragment_removal", "fragment_removal", 1, 0.25, {{2, 2, 2}}},
                                  {"hydration", "", 2, 2.0 / 3, {}},
                                  {"hydration", "hydration", 1, 1.0 / 3, {{0, 0, 0}}},
                                  {"hydrodissection", "fragment_removal", 3, 1, {{1, 2, 3.25}}},
                                  {"lens", "viscoelastic_removal", 3, 1, {{0.25, 0.5, 0.75}}},
                                  {"main_incision", "rhexis", 1, 1.0 / 3, {{2, 2, 2}}},
                                  {"main_incision", "viscoelastic", 2, 2.0 / 3, {{0.625, 1.25, 1.875}}},
                                  {"polishing", "viscoelastic", 1, 1, {{0, 0, 0}}},
                                  {"rhexis", "hydrodissection", 3, 0.75, {{0.75, 1.5, 2.25}}},
                                  {"rhexis", "viscoelastic", 1, 0.25, {{1.5, 1.5, 1.5}}},
                                  {"viscoelastic", "lens", 2, 1.0 / 3, {{0.25, 0.5, 0.75}}},
                                  {"viscoelastic", "main_incision", 1, 1.0 / 6, {{1.5, 1.5, 1.5}}},
                                  {"viscoelastic", "rhexis", 3, 0.5, {{0.5, 1, 1}}},
                                  {"viscoelastic_removal", "", 1, 1.0 / 3, {}},
                                  {"viscoelastic_removal", "hydration", 2, 2.0 / 3, {{0.5, 1, 1.5}}}};
  TestSeries series;
  AddOperations(series);
  const auto model = series.Build();
  REQUIRE(model.ok());
  CHECK(model->passages.size() == by_r.size());
  for (const Passage& wanted : by_r) {
    CAPTURE(wanted.from, wanted.to);
    const auto found = std::find_if(
        model->passages.begin(), model->passages.end(),
        [&](const StepPassage& passage) { return passage.from == wanted.from && passage.to == wanted.to; });
    REQUIRE(found != model->passages.end());
    CHECK(found->count == wanted.count);
    CHECK(found->share == Approx(wanted.share).epsilon(1e-12));
    REQUIRE(found->gap_s.has_value() == wanted.gaps.has_value());
    if (!wanted.gaps) continue;
    CHECK(found->gap_s->lower == Approx((*wanted.gaps)[0]).margin(1e-9));
    CHECK(found->gap_s->median == Approx((*wanted.gaps)[1]).margin(1e-9));
    CHECK(found->gap_s->upper == Approx((*wanted.gaps)[2]).margin(1e-9));
  }
}

// R 4.2.2: prop.table(tapply(end - start, list(case, step), sum), 1), of the cases that have the step
// quantile(type = 7).
TEST_CASE("The share that a step has of the step time is R's", "[series]") {
  struct Share {
    const char* step;
    std::array<double, 3> quartiles;
  };
  const std::array<Share, 10> by_r{
      {{"cortex", {0.104670555742, 0.150537634409, 0.15090392113}},
       {"fragment_removal", {0.274829742117, 0.31870669746, 0.324227900701}},
       {"hydration", {0.0298973420987, 0.0335103353324, 0.0371233285662}},
       {"hydrodissection", {0.0557700850668, 0.0565819861432, 0.0746519952874}},
       {"lens", {0.0619132101066, 0.0692840646651, 0.0776527850207}},
       {"main_incision", {0.0563314361338, 0.0664734958241, 0.0762475006002}},
       {"polishing", {0.0507925686041, 0.0507925686041, 0.0507925686041}},
       {"rhexis", {0.079921025178, 0.0991636798088, 0.139651123969}},
       {"viscoelastic", {0.0367626350653, 0.0465949820789, 0.0510111169055}},
       {"viscoelastic_removal", {0.121535451864, 0.122401847575, 0.21988508946}}}};
  TestSeries series;
  AddOperations(series);
  const auto model = series.Build();
  REQUIRE(model.ok());
  for (const Share& wanted : by_r) {
    CAPTURE(wanted.step);
    const SeriesMeasure& measure = MeasureOf(*model, wanted.step);
    REQUIRE(measure.share.value);
    CHECK(measure.share.value->lower == Approx(wanted.quartiles[0]).epsilon(1e-9));
    CHECK(measure.share.value->median == Approx(wanted.quartiles[1]).epsilon(1e-9));
    CHECK(measure.share.value->upper == Approx(wanted.quartiles[2]).epsilon(1e-9));
  }
}

}  // namespace afterscope
