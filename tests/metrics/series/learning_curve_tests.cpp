// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/learning_curve.hpp"
#include "metrics/series/least_squares.hpp"
#include "tests/metrics/series/nist_support.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numeric>
#include <vector>

namespace afterscope {
namespace {

std::vector<double> CasesUpTo(std::size_t n) {
  std::vector<double> cases(n);
  std::iota(cases.begin(), cases.end(), 1.0);
  return cases;
}

const std::vector<double> kTen{620, 580, 600, 540, 555, 500, 510, 470, 470, 440};
// round(900 n^-0.2 + normal noise of 45), R 4.2.2 with set.seed(7).
const std::vector<double> kTwentyFour{1003, 730, 691, 664, 609, 586, 644, 589, 587, 666, 573, 670,
                                      641,  545, 609, 538, 470, 491, 499, 539, 527, 517, 539, 414};

CurveModel Misra() {
  return {2, [](double x, const Eigen::VectorXd& b) { return b[0] * (1 - std::exp(-b[1] * x)); },
          [](double x, const Eigen::VectorXd& b, Eigen::Ref<Eigen::RowVectorXd> g) {
            g << 1 - std::exp(-b[1] * x), b[0] * x * std::exp(-b[1] * x);
          }};
}

CurveModel Ratkowsky() {
  return {3, [](double x, const Eigen::VectorXd& b) { return b[0] / (1 + std::exp(b[1] - b[2] * x)); },
          [](double x, const Eigen::VectorXd& b, Eigen::Ref<Eigen::RowVectorXd> g) {
            const double e = std::exp(b[1] - b[2] * x);
            const double d = b[0] * e / ((1 + e) * (1 + e));
            g << 1 / (1 + e), -d, x * d;
          }};
}

}  // namespace

// NIST Statistical Reference Datasets, nonlinear regression: certified values, from both of its starts.
TEST_CASE("Least squares reach NIST's certified values", "[series]") {
  for (const auto& start : {Eigen::Vector2d(500, 0.0001), Eigen::Vector2d(250, 0.0005)}) {
    const NistPairs d = NistMisra1a();
    const CurveFit fit = FitCurve(Misra(), d.x, d.y, start).value();
    CHECK(fit.parameters[0] == Approx(2.3894212918E+02).epsilon(1e-8));
    CHECK(fit.parameters[1] == Approx(5.5015643181E-04).epsilon(1e-8));
    CHECK(std::sqrt(fit.covariance(0, 0)) == Approx(2.7070075241).epsilon(1e-7));
    CHECK(std::sqrt(fit.covariance(1, 1)) == Approx(7.2668688436E-06).epsilon(1e-7));
    CHECK(fit.residual_squares == Approx(1.2455138894E-01).epsilon(1e-8));
  }
  for (const auto& start : {Eigen::Vector3d(100, 1, 0.1), Eigen::Vector3d(75, 2.5, 0.07)}) {
    const NistPairs d = NistRatkowsky2();
    const CurveFit fit = FitCurve(Ratkowsky(), d.x, d.y, start).value();
    CHECK(fit.parameters[0] == Approx(7.2462237576E+01).epsilon(1e-7));
    CHECK(fit.parameters[1] == Approx(2.6180768402).epsilon(1e-7));
    CHECK(fit.parameters[2] == Approx(6.7359200066E-02).epsilon(1e-7));
    CHECK(fit.residual_squares == Approx(8.0565229338).epsilon(1e-8));
  }
}

// NIST DanielWood is a power law, fitted here from the start that the program itself chooses.
TEST_CASE("The power law reaches NIST's certified values", "[series]") {
  const NistPairs d = NistDanielWood();
  const PowerLaw fit = FitPowerLaw(d.x, d.y, PowerLawError::kAdditive).value();
  CHECK(fit.a.value == Approx(7.6886226176E-01).epsilon(1e-8));
  CHECK(fit.b.value == Approx(3.8604055871).epsilon(1e-8));
  CHECK(std::sqrt(fit.a_variance) == Approx(1.8281973860E-02).epsilon(1e-7));
  CHECK(std::sqrt(fit.b_variance) == Approx(5.1726610913E-02).epsilon(1e-7));
  CHECK(fit.residual_squares == Approx(4.3173084083E-03).epsilon(1e-8));
  CHECK(fit.residual_sd == Approx(3.2853114039E-02).epsilon(1e-8));
  // By the logarithms it is another curve (linear regression with scipy 1.10.1).
  const PowerLaw logs = FitPowerLaw(d.x, d.y, PowerLawError::kMultiplicative).value();
  CHECK(logs.a.value == Approx(0.7499453).epsilon(1e-6));
  CHECK(logs.b.value == Approx(3.9172056).epsilon(1e-7));
}

// R 4.2.2: nls() and lm() with confint(), predict(interval = "confidence").
TEST_CASE("The power law has limits", "[series]") {
  const PowerLaw seconds = FitPowerLaw(CasesUpTo(10), kTen, PowerLawError::kAdditive).value();
  CHECK(seconds.a.value == Approx(644.362).epsilon(1e-6));
  CHECK(seconds.b.value == Approx(-0.134089).epsilon(1e-5));
  CHECK(std::sqrt(seconds.a_variance) == Approx(21.22840).epsilon(1e-5));
  CHECK(std::sqrt(seconds.b_variance) == Approx(0.02110538).epsilon(1e-5));
  CHECK(seconds.residual_squares == Approx(5612.36137865).epsilon(1e-9));

  const PowerLaw logs = FitPowerLaw(CasesUpTo(10), kTen, PowerLawError::kMultiplicative).value();
  CHECK(logs.a.value == Approx(std::exp(6.479931022830)).epsilon(1e-10));
  CHECK(logs.a.low == Approx(std::exp(6.393825673878)).epsilon(1e-9));
  CHECK(logs.b.value == Approx(-0.142861351761).epsilon(1e-10));
  CHECK(logs.b.low == Approx(-0.194643569741).epsilon(1e-9));
  CHECK(logs.b.high == Approx(-0.0910791337798).epsilon(1e-9));

  const PowerLaw more = FitPowerLaw(CasesUpTo(24), kTwentyFour, PowerLawError::kAdditive).value();
  CHECK(more.a.value == Approx(908.642331601224).epsilon(1e-8));
  CHECK(more.a.high == Approx(908.642331601224 + 2.0738730679 * 39.2284462830231).epsilon(1e-7));
  CHECK(more.b.low == Approx(-0.189263711783 - 2.0738730679 * 0.0196009923587).epsilon(1e-7));
  CHECK(more.covariance == Approx(-0.693207181547).epsilon(1e-7));
  // At the first case the curve is a, with the limits of a.
  CHECK(more.WithLimits(1).low == Approx(more.a.low).epsilon(1e-12));
  const Estimate fifty =
      FitPowerLaw(CasesUpTo(24), kTwentyFour, PowerLawError::kMultiplicative)->WithLimits(50);
  CHECK(fifty.value == Approx(std::exp(6.07923896266)).epsilon(1e-9));
  CHECK(fifty.low == Approx(std::exp(5.99253684372)).epsilon(1e-9));
  CHECK(fifty.high == Approx(std::exp(6.16594108159)).epsilon(1e-9));
}

// The definition, 2^b: b = -1/4 gives 84.0896 %, an 80 % curve has b = -0.3219281. Exact data must give exact
// curves.
TEST_CASE("The progress ratio is that of a doubling", "[series]") {
  for (const double b : {-0.25, -0.3219281, -0.1520031}) {
    std::vector<double> y;
    for (const double n : CasesUpTo(24)) y.push_back(600 * std::pow(n, b));
    const PowerLaw fit = FitPowerLaw(CasesUpTo(24), y, PowerLawError::kAdditive).value();
    CHECK(fit.b.value == Approx(b).epsilon(1e-9));
    CHECK(fit.At(1) == Approx(600).epsilon(1e-9));
    if (b == -0.25) {
      CHECK(fit.ratio_per_doubling.value == Approx(0.840896).epsilon(1e-6));
      CHECK(fit.At(2) == Approx(504.538).epsilon(1e-6));
      CHECK(fit.At(50) == Approx(225.636).epsilon(1e-5));
      CHECK(fit.At(256) == Approx(150).epsilon(1e-9));
    }
    if (b == -0.3219281) CHECK(fit.ratio_per_doubling.value == Approx(0.8).epsilon(1e-7));
    if (b == -0.1520031) CHECK(fit.ratio_per_doubling.value == Approx(0.9).epsilon(1e-7));
  }
}

// R 4.2.2: deviances of nls() and lm() for F, pf(), AIC() with the small-sample term.
TEST_CASE("A learning curve is claimed against no change", "[series]") {
  const LearningCurve seconds = LearningCurveOf(CasesUpTo(24), kTwentyFour).value();
  CHECK(seconds.verdict == LearningVerdict::kFalling);
  CHECK(seconds.f == Approx(77.523717327).epsilon(1e-9));
  CHECK(seconds.p == Approx(1.16009739688e-08).epsilon(1e-8));
  CHECK(seconds.aicc_gain == Approx(33.5959132314).epsilon(1e-9));
  LearningCurveOptions options;
  options.error = PowerLawError::kMultiplicative;
  const LearningCurve logs = LearningCurveOf(CasesUpTo(24), kTwentyFour, options).value();
  CHECK(logs.f == Approx(63.42384).epsilon(1e-7));
  CHECK(logs.p == Approx(6.3629e-08).epsilon(1e-5));
  CHECK(logs.aicc_gain == Approx(29.9294136022).epsilon(1e-9));

  std::vector<double> level;
  for (int i = 0; i < 24; ++i) level.push_back(i % 2 ? 410 : 390);
  const LearningCurve none = LearningCurveOf(CasesUpTo(24), level).value();
  CHECK(none.verdict == LearningVerdict::kNoChange);
  CHECK(none.level_line == Approx(400));
  std::vector<double> rising(kTwentyFour.rbegin(), kTwentyFour.rend());
  CHECK(LearningCurveOf(CasesUpTo(24), rising)->verdict == LearningVerdict::kRising);
}

TEST_CASE("Learning curves of small numbers say so", "[series]") {
  for (const std::size_t n : {0u, 1u, 2u, 3u, 8u, 19u}) {
    const LearningCurve few =
        LearningCurveOf(CasesUpTo(n), std::vector<double>(kTwentyFour.begin(), kTwentyFour.begin() + n))
            .value();
    CHECK(few.verdict == LearningVerdict::kTooFewCases);
    CHECK(few.fewest_cases == 20);
    CHECK_FALSE(few.curve.has_value());
  }
  LearningCurveOptions greedy;
  greedy.fewest_cases = 1;
  const std::vector<double> eight(kTwentyFour.begin(), kTwentyFour.begin() + 8);
  CHECK(LearningCurveOf(CasesUpTo(8), eight, greedy)->verdict == LearningVerdict::kTooFewCases);

  const std::vector<double> equal(24, 300.0);
  const LearningCurve same = LearningCurveOf(CasesUpTo(24), equal).value();
  CHECK(same.verdict == LearningVerdict::kNoChange);
  CHECK_FALSE(same.curve.has_value());

  std::vector<double> bad = kTwentyFour;
  bad[3] = std::nan("");
  CHECK_FALSE(LearningCurveOf(CasesUpTo(24), bad).ok());
  bad[3] = -1;
  CHECK(LearningCurveOf(CasesUpTo(24), bad).error().message ==
        "The learning curve cannot be computed: a value is below 0.");
  bad[3] = 0;
  CHECK(LearningCurveOf(CasesUpTo(24), bad).ok());
  CHECK_FALSE(FitPowerLaw(CasesUpTo(24), bad, PowerLawError::kMultiplicative).ok());
  std::vector<double> from_zero = CasesUpTo(24);
  for (double& c : from_zero) c -= 1;
  CHECK_FALSE(LearningCurveOf(from_zero, kTwentyFour).ok());
  CHECK_FALSE(FitPowerLaw(std::vector<double>(24, 3.0), kTwentyFour, PowerLawError::kAdditive).ok());
}

}  // namespace afterscope
