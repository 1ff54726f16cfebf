// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/hodges_lehmann.hpp"
#include "metrics/series/rank_sum.hpp"
#include "metrics/series/signed_rank.hpp"
#include "metrics/series/welch.hpp"
#include "metrics/series/wilcoxon_distribution.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

namespace afterscope {
namespace {

// R's datasets: sleep (Student 1908), airquality (New York 1973; days without a reading left out).
const std::vector<double> kSleep1{0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2};
const std::vector<double> kSleep2{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4};
const std::vector<double> kOzoneMay{41, 36, 12, 18, 28, 23, 19, 8, 7,  16, 11, 14,  18,
                                    14, 34, 6,  30, 11, 1,  11, 4, 32, 23, 45, 115, 37};
const std::vector<double> kOzoneAugust{39, 9,  16, 78, 35, 66, 122, 89,  110, 44, 28,  65, 22,
                                       59, 23, 31, 44, 21, 9,  45,  168, 73,  76, 118, 84, 85};
// Hollander & Wolfe 1973: permeability of membranes (p. 69 f.), depression scores of nine patients (p. 29
// f.); both in the help of R's wilcox.test.
const std::vector<double> kAtTerm{0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46};
const std::vector<double> kEarly{1.15, 0.88, 0.90, 0.74, 1.21};
const std::vector<double> kFirst{1.83, .50, 1.62, 2.48, 1.68, 1.88, 1.55, 3.06, 1.30};
const std::vector<double> kSecond{.878, .647, .598, 2.05, 1.06, 1.29, 1.06, 3.14, 1.29};

std::vector<double> Less(const std::vector<double>& b, const std::vector<double>& a) {
  std::vector<double> out;
  for (std::size_t i = 0; i < a.size(); ++i) out.push_back(b[i] - a[i]);
  return out;
}

}  // namespace

// R 4.2.2: wilcox.test(b, a), there W is our u.
TEST_CASE("The rank sum gives R's figures", "[series]") {
  const RankSum ozone = RankSumTest(kOzoneAugust, kOzoneMay).value();
  CHECK(ozone.u == 127.5);
  CHECK(ozone.p == Approx(0.000120807831).epsilon(1e-8));
  CHECK_FALSE(ozone.exact);
  const RankSum membranes = RankSumTest(kEarly, kAtTerm).value();
  CHECK(membranes.u == 35);
  CHECK(membranes.share == Approx(0.7));
  CHECK(membranes.exact);
  CHECK(membranes.p == Approx(0.254412254).epsilon(1e-8));
  CHECK(RankSumTest(kSleep2, kSleep1)->p == Approx(0.0693275754).epsilon(1e-8));
  // Ties, and u right in the middle: R corrects for continuity by half the sign of the distance, here none.
  const std::vector<double> tied{1, 2, 2, 3};
  const RankSum same = RankSumTest(tied, tied).value();
  CHECK_FALSE(same.exact);
  CHECK(same.z == 0);
  CHECK(same.p == 1);
}

// R 4.2.2: wilcox.test(b, a, conf.int = TRUE). In the approximation R searches for the limits and stops
// within 0.0001.
TEST_CASE("Hodges-Lehmann has the rank sum's limits", "[series]") {
  const GroupDifference exact = HodgesLehmannDifference(kEarly, kAtTerm).value();
  CHECK(exact.difference.value == Approx(0.305));
  CHECK(exact.difference.low == Approx(-0.15));
  CHECK(exact.difference.high == Approx(0.76));
  const GroupDifference ninety = HodgesLehmannDifference(kEarly, kAtTerm, 0.9).value();
  CHECK(ninety.difference.low == Approx(-0.08));
  CHECK(ninety.difference.high == Approx(0.72));
  const GroupDifference ozone = HodgesLehmannDifference(kOzoneMay, kOzoneAugust).value();
  CHECK(ozone.difference == Estimate{32, 15, 53, 0.95});
  const GroupDifference sleep = HodgesLehmannDifference(kSleep2, kSleep1).value();
  CHECK(sleep.difference.low == Approx(-3.6).margin(1e-4));
  CHECK(sleep.difference.high == Approx(0.1).margin(1e-4));
  const GroupDifference seven =
      HodgesLehmannDifference(std::vector<double>{3.1, 4.4, 5.2, 6.5}, std::vector<double>{1.1, 2.2, 0.3})
          .value();
  CHECK(seven.difference.value == Approx(-3.7));
  CHECK(seven.difference.low == Approx(-6.2));
  CHECK(seven.difference.high == Approx(-0.9));
  CHECK(seven.cautions.size() == 1);
}

// R 4.2.2: wilcox.test(x, y, paired = TRUE, conf.int = TRUE); one-sided "greater" p = .01953125, half of the
// two-sided one here.
TEST_CASE("The signed rank gives R's figures", "[series]") {
  const SignedRank patients = SignedRankTest(Less(kFirst, kSecond)).value();
  CHECK(patients.v == 40);
  CHECK(patients.exact);
  CHECK(patients.p == Approx(0.0390625).epsilon(1e-12));
  CHECK(1 - SignedRankCdf(39, 9) == Approx(.01953125).epsilon(1e-12));
  CHECK(patients.middle.value == Approx(0.46));
  CHECK(patients.middle.low == Approx(0.010).epsilon(1e-9));
  CHECK(patients.middle.high == Approx(0.786).epsilon(1e-9));
  const SignedRank sleep = SignedRankTest(Less(kSleep1, kSleep2)).value();
  CHECK(sleep.n == 10);
  CHECK(sleep.nonzero == 9);
  CHECK(sleep.v == 0);
  CHECK(sleep.p == Approx(0.00909069802).epsilon(1e-8));
  // Here R drops the zero (-1.4, -2.95 to -1.05). Kept, the Walsh averages and Lehmann's order, formed in R,
  // give:
  CHECK(sleep.middle.value == Approx(-1.3));
  CHECK(sleep.middle.low == Approx(-2.8));
  CHECK(sleep.middle.high == Approx(-0.8));
}

// R 4.2.2: t.test(extra ~ group, sleep).
TEST_CASE("Welch gives R's figures", "[series]") {
  const Welch sleep = WelchTest(kSleep2, kSleep1).value();
  CHECK(sleep.t == Approx(-1.860813467).epsilon(1e-9));
  CHECK(sleep.df == Approx(17.77647352).epsilon(1e-9));
  CHECK(sleep.p == Approx(0.0793941402).epsilon(1e-8));
  CHECK(sleep.difference.value == Approx(-1.58));
  CHECK(sleep.difference.low == Approx(-3.365483230712).epsilon(1e-10));
  CHECK(sleep.difference.high == Approx(0.205483230712).epsilon(1e-9));
}

TEST_CASE("Two groups with small numbers, ties and missing values", "[series]") {
  const std::vector<double> none;
  const std::vector<double> one{4};
  const std::vector<double> two{5, 7};
  const std::vector<double> three{1, 2, 3};
  const std::vector<double> equal{4, 4, 4};
  const std::vector<double> gap{1, std::nan("")};
  CHECK(RankSumTest(none, two).error().message ==
        "The comparison of the two groups cannot be computed from 0 values: at least 1 is needed.");
  CHECK_FALSE(RankSumTest(two, gap).ok());
  CHECK_FALSE(HodgesLehmannDifference(one, none).ok());
  CHECK_FALSE(WelchTest(one, two).ok());
  CHECK(WelchTest(equal, std::vector<double>{6, 6}).error().message ==
        "The difference of the means cannot be computed: neither group varies.");
  CHECK(WelchTest(equal, two).value().difference.value == 2);
  CHECK_FALSE(SignedRankTest(none).ok());
  CHECK_FALSE(SignedRankTest(gap).ok());

  const RankSum few = RankSumTest(one, two).value();
  CHECK(few.p == Approx(2.0 / 3));  // 2 of the 3 places of the one value are as extreme
  CHECK(few.cautions == std::vector<std::string>{"So few cases cannot show a difference at p < 0.05."});
  CHECK(HodgesLehmannDifference(one, two).value().difference == Estimate{2, 1, 3, 0.95});
  CHECK(HodgesLehmannDifference(one, one).value().difference == Estimate{0, 0, 0, 0.95});

  const RankSum same = RankSumTest(equal, equal).value();
  CHECK(same.p == 1);
  CHECK(same.share == 0.5);
  CHECK(same.cautions == std::vector<std::string>{"All values are equal."});
  CHECK(HodgesLehmannDifference(equal, equal).value().difference == Estimate{0, 0, 0, 0.95});
  CHECK(RankSumTest(equal, three).value().u == 0);
  const std::vector<double> tied{1, 2, 2,
                                 3};  // against itself: by symmetry no excess, so no continuity to correct
  CHECK(RankSumTest(tied, tied).value().z == 0);
  CHECK(RankSumTest(tied, tied).value().p == 1);

  const SignedRank zeros = SignedRankTest(std::vector<double>{0, 0, 0}).value();
  CHECK(zeros.p == 1);
  CHECK(zeros.middle == Estimate{0, 0, 0, 0.95});
  CHECK(zeros.cautions.front() == "No pair differs.");
  const SignedRank single = SignedRankTest(std::vector<double>{2.5}).value();
  CHECK(single.p == 1);
  CHECK(single.middle == Estimate{2.5, 2.5, 2.5, 0.95});
  CHECK(SignedRankTest(three).value().p == Approx(0.25));  // all three positive: 2 / 2^3
}

// 5000 against 5000 would be 25 million differences: they are counted, not formed. Truth: groups 0 .. 4999
// and the same plus 100 differ by 100.
TEST_CASE("Large groups are compared at once", "[series]") {
  std::vector<double> a;
  std::vector<double> b;
  for (int i = 0; i < 5000; ++i) {
    a.push_back(i);
    b.push_back(i + 100);
  }
  const GroupDifference large = HodgesLehmannDifference(a, b).value();
  CHECK(large.difference.value == 100);
  CHECK(large.difference.low < 100);
  CHECK(large.difference.high - 100 == 100 - large.difference.low);
}

}  // namespace afterscope
