// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/hodges_lehmann.hpp"
#include "metrics/series/rank_sum.hpp"
#include "metrics/series/stratified_difference.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

namespace afterscope {

// Three strata of invented times. z and p by R 4.2.2's package coin 1.4-2: independence_test(y ~ g | s,
// ytrafo), asymptotic, its scores rank() / (cases + 1) within each stratum, which are van Elteren's weights;
// the package's variance is that of the permutations within strata, ties with it. (Without the weights,
// rank() within strata alone, it gives 3.638.) The difference as R's weighted median of outer(b, a, "-"); the
// limits by shifting b in steps of 0.5 until |z| passes 1.96 (50.0 to 119.5, the step before 120).
TEST_CASE("Groups are compared within strata", "[series]") {
  const std::vector<Stratum> strata{{{350, 390, 410, 340, 410}, {460, 460, 520, 400, 520, 420, 400}},
                                    {{460, 510, 510, 480}, {510, 530, 620, 570, 530}},
                                    {{550, 590, 520, 580}, {620, 720, 710}}};
  const StratifiedDifference d = CompareWithinStrata(strata).value();
  CHECK(d.strata == 3);
  CHECK(d.n_a == 13);
  CHECK(d.n_b == 15);
  CHECK(d.z == Approx(3.77966143495820).epsilon(1e-12));
  CHECK(d.p == Approx(0.00015704174847).epsilon(1e-9));
  CHECK(d.difference == Estimate{70, 50, 120, 0.95});
  CHECK(d.cautions.empty());
}

// By definition: one stratum is the plain comparison.
TEST_CASE("One stratum is the plain comparison", "[series]") {
  const Stratum all{{0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46},
                    {1.15, 0.88, 0.90, 0.74, 1.21}};
  const StratifiedDifference d = CompareWithinStrata({&all, 1}).value();
  CHECK(d.difference.value == HodgesLehmannDifference(all.a, all.b)->difference.value);
  const double variance = RankSumVariance(10, 5, std::vector<double>{1, 2, 3});  // no ties
  CHECK(d.z == Approx((RankSumTest(all.a, all.b)->u - 25) / std::sqrt(variance)).epsilon(1e-12));
}

// Two operators who take the same time for the same eyes; one operates on more difficult ones.
TEST_CASE("A different case mix is no difference", "[series]") {
  const std::vector<Stratum> strata{{{10, 11, 12, 13, 14, 15, 16}, {11, 13, 15}},
                                    {{31, 33, 35}, {30, 31, 32, 33, 34, 35, 36}}};
  CHECK(CompareWithinStrata(strata)->difference.value == Approx(0));
  CHECK(HodgesLehmannDifference(std::vector<double>{10, 11, 12, 13, 14, 15, 16, 31, 33, 35},
                                std::vector<double>{11, 13, 15, 30, 31, 32, 33, 34, 35, 36})
            ->difference.value >= 5);
}

TEST_CASE("Strata of small numbers", "[series]") {
  CHECK(CompareWithinStrata({}).error().message ==
        "The adjusted comparison cannot be computed: no difficulty holds cases of both groups.");
  const std::vector<Stratum> apart{{{1, 2}, {}}, {{}, {3}}};
  CHECK_FALSE(CompareWithinStrata(apart).ok());
  const std::vector<Stratum> one_each{{{1}, {4}}, {{2}, {}}};
  const StratifiedDifference d = CompareWithinStrata(one_each).value();
  CHECK(d.difference == Estimate{3, 3, 3, 0.95});
  CHECK(d.left_out == 1);
  CHECK(d.cautions.size() == 3);
  const std::vector<Stratum> equal{{{5, 5}, {5, 5, 5}}};
  CHECK(CompareWithinStrata(equal)->p == 1);
  CHECK(CompareWithinStrata(equal)->difference == Estimate{0, 0, 0, 0.95});
  const std::vector<Stratum> gap{{{5, std::nan("")}, {5}}};
  CHECK_FALSE(CompareWithinStrata(gap).ok());
}

}  // namespace afterscope
