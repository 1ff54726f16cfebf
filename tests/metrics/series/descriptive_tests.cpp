// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/descriptive.hpp"
#include "tests/metrics/series/nist_support.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

namespace afterscope {
namespace {

void CheckCertified(const std::vector<double>& values, double mean, double sd, double lag1,
                    double sd_error = 1e-9) {
  CHECK(Mean(values).value() == Approx(mean).epsilon(1e-13));
  CHECK(StandardDeviation(values).value() == Approx(sd).epsilon(sd_error));
  CHECK(Lag1Autocorrelation(values).value() == Approx(lag1).epsilon(sd_error));
}

}  // namespace

// NIST Statistical Reference Datasets, univariate summary statistics: certified values. The data of NumAcc3
// and 4 can't be written exactly in binary: of 10000000.2 the ninth decimal is lost, hence fewer digits
// there.
TEST_CASE("Mean, standard deviation and autocorrelation reach NIST's certified values", "[series]") {
  CheckCertified({10000001, 10000003, 10000002}, 10000002, 1, -0.5);
  CheckCertified(NistNumAcc(1.2, 1.1, 1.3), 1.2, 0.1, -0.999);
  CheckCertified(NistNumAcc(1000000.2, 1000000.1, 1000000.3), 1000000.2, 0.1, -0.999);
  CheckCertified(NistNumAcc(10000000.2, 10000000.1, 10000000.3), 10000000.2, 0.1, -0.999, 2e-8);
  CheckCertified(NistMavro(), 2.001856, 0.000429123454003053, 0.937989183438248);
  CheckCertified(NistLew(), -177.435, 277.332168044316, -0.307304800605679);
  CheckCertified(NistLottery(), 518.958715596330, 291.699727470969, -0.120948622967393);
  CheckCertified(NistPiDigits(), 4.53480000000000, 2.86733906028871, -0.00355099287237972);
  CheckCertified(NistMichelso(), 299.8524, 0.0790105478190518, 0.535199668621283);
}

// R 4.2.2: t.test(x)$conf.int.
TEST_CASE("The mean has Student's limits", "[series]") {
  const Estimate mean = MeanWithLimits(std::vector<double>{3, 6, 7, 8, 8, 10, 13, 15, 16, 20}).value();
  CHECK(mean.value == Approx(10.6));
  CHECK(mean.low == Approx(6.84182226597).epsilon(1e-10));
  CHECK(mean.high == Approx(14.35817773403).epsilon(1e-10));
}

TEST_CASE("Descriptive statistics of small numbers", "[series]") {
  CHECK(Mean({}).error().message == "The mean cannot be computed from 0 values: at least 1 is needed.");
  CHECK(Mean(std::vector<double>{4}).value() == 4);
  CHECK(StandardDeviation(std::vector<double>{4}).error().message ==
        "The standard deviation cannot be computed from 1 value: at least 2 are needed.");
  CHECK(StandardDeviation(std::vector<double>{0.1, 0.1, 0.1}).value() == 0);
  CHECK(Lag1Autocorrelation(std::vector<double>{5, 5, 5}).error().message ==
        "The autocorrelation cannot be computed: all values are equal.");
  CHECK(Mean(std::vector<double>{1, std::nan("")}).error().message ==
        "The mean cannot be computed: a value is missing or not a finite number.");
  CHECK(Mean(std::vector<double>{1, INFINITY}).error().code == ErrorCode::kNotComputable);
  CHECK(MeanWithLimits(std::vector<double>{1, 2}, 1).error().code == ErrorCode::kBadCall);
}

}  // namespace afterscope
