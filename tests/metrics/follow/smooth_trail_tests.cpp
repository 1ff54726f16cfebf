// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/smooth_trail.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

std::vector<std::optional<SmoothedPlace>> Curve() {
  std::vector<std::optional<SmoothedPlace>> out;
  for (int i = 0; i < 30; ++i)
    out.push_back(SmoothedPlace{i / 30.0, {100 + 3.0 * i, 50 + 0.2 * i * i}, false});
  return out;
}

}  // namespace

TEST_CASE("A parabola is left as it is") {
  const auto before = Curve(), after = SmoothTrail(before, 1);
  for (std::size_t i = 0; i < before.size(); ++i) CHECK(Distance(before[i]->at, after[i]->at) < 1e-4);
}

TEST_CASE("A single place far off is brought back; fixed places stay") {
  auto places = Curve();
  places[12]->at.x += 30;
  places[20]->at.x += 4, places[20]->fixed = true;
  const auto after = SmoothTrail(places, 1);
  CHECK(Distance(after[12]->at, Curve()[12]->at) < 1);
  CHECK(after[20]->at == places[20]->at);
}

TEST_CASE("A gap is never bridged") {
  auto places = Curve();
  for (int i = 10; i < 15; ++i) places[static_cast<std::size_t>(i)].reset();
  const auto after = SmoothTrail(places, 1);
  for (std::size_t i = 0; i < places.size(); ++i) CHECK(after[i].has_value() == places[i].has_value());
  CHECK(SmoothTrail({}, 1).empty());
}

}  // namespace afterscope
