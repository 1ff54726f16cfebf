// SPDX-License-Identifier: Apache-2.0
#include "metrics/scale/needle_gauge.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <map>

namespace afterscope {

// The nominal diameters of the inch charts of hypodermic tubing (a needle gauge comparison chart), which come
// from another list than the limits of ISO 9626.
TEST_CASE("A needle's diameter by its gauge agrees with the inch chart's", "[scale]") {
  const std::map<int, double> nominal{{18, 1.270},  {19, 1.067},  {20, 0.9081}, {21, 0.8192}, {22, 0.7176},
                                      {23, 0.6414}, {24, 0.5652}, {25, 0.5144}, {26, 0.4636}, {27, 0.4128},
                                      {28, 0.3620}, {29, 0.3366}, {30, 0.3112}, {31, 0.2604}, {32, 0.235}};
  double wider = 2;
  for (const auto& [gauge, mm] : nominal) {
    const auto known = NeedleDiameter(gauge);
    REQUIRE(known);
    INFO(gauge << " G: " << known->mm << " +- " << known->sd);
    CHECK(std::abs(known->mm - mm) <= std::sqrt(3.0) * known->sd + 1e-9);  // within the limits
    CHECK(known->mm < wider);
    wider = known->mm;
  }
  CHECK(NeedleDiameter(33));
  for (const int none : {17, 34, 0, -5}) CHECK_FALSE(NeedleDiameter(none));
}

}  // namespace afterscope
