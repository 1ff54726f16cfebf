// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/icc.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

namespace afterscope {
namespace {

// Shrout & Fleiss 1979, table 2: six targets, four judges.
const std::vector<double> kTargets{9, 2, 5, 8, 6, 1, 3, 2, 8, 4, 6, 8, 7, 1, 2, 6, 10, 5, 6, 9, 6, 2, 4, 7};
// The anxiety data of R's package irr, three raters one after another.
const double kAnxiety[3][20] = {{3, 3, 3, 4, 5, 5, 2, 3, 5, 2, 2, 6, 1, 5, 2, 2, 1, 2, 4, 3},
                                {3, 6, 4, 6, 2, 4, 2, 4, 3, 3, 2, 3, 3, 3, 2, 2, 1, 3, 3, 4},
                                {2, 1, 4, 4, 3, 2, 1, 6, 1, 1, 1, 2, 3, 3, 1, 1, 3, 3, 2, 2}};

struct Row {
  IccForm form;
  double value, low, high, f, df2, p;
};

void CheckRows(const std::vector<double>& scores, std::size_t reviewers, std::initializer_list<Row> rows) {
  for (const Row& r : rows) {
    const Icc icc = IntraclassCorrelation(scores, reviewers, r.form).value();
    CHECK(icc.icc.value == Approx(r.value).epsilon(1e-7));
    CHECK(icc.icc.low == Approx(r.low).epsilon(1e-6));
    CHECK(icc.icc.high == Approx(r.high).epsilon(1e-6));
    CHECK(icc.f == Approx(r.f).epsilon(1e-6));
    CHECK(icc.df2 == r.df2);
    CHECK(icc.p == Approx(r.p).epsilon(1e-5));
  }
}

}  // namespace

// R 4.2.2, psych::ICC(lmer = FALSE). The paper itself prints .17 .29 .71 .44 .62 .91 (from memory).
TEST_CASE("The six intraclass correlations of Shrout and Fleiss", "[agreement]") {
  const ScoreSquares s = ScoreSquaresOf(kTargets, 4).value();
  CHECK(s.between_cases == Approx(11.241667).epsilon(1e-7));
  CHECK(s.within_cases == Approx(6.263889).epsilon(1e-7));
  CHECK(s.reviewers_ms == Approx(32.486111).epsilon(1e-7));
  CHECK(s.error == Approx(1.019444).epsilon(1e-6));
  CheckRows(
      kTargets, 4,
      {{IccForm::kOneWaySingle, 0.165741768, -0.13293232, 0.72256006, 1.794678, 18, 0.164768809},
       {IccForm::kAgreementSingle, 0.289763780, 0.01878651, 0.76108437, 11.027248, 15, 0.000134566516},
       {IccForm::kConsistencySingle, 0.714840715, 0.34246477, 0.94585826, 11.027248, 15, 0.000134566516},
       {IccForm::kOneWayAverage, 0.442797134, -0.88444216, 0.91241542, 1.794678, 18, 0.164768809},
       {IccForm::kAgreementAverage, 0.620050548, 0.07113682, 0.92723204, 11.027248, 15, 0.000134566516},
       {IccForm::kConsistencyAverage, 0.909315542, 0.67567471, 0.98589168, 11.027248, 15, 0.000134566516}});
}

TEST_CASE("The six intraclass correlations of the anxiety data", "[agreement]") {
  std::vector<double> scores;
  for (std::size_t i = 0; i < 20; ++i)
    for (const auto& rater : kAnxiety) scores.push_back(rater[i]);
  CheckRows(scores, 3,
            {{IccForm::kOneWaySingle, 0.17502238, -0.07744657, 0.48433609, 1.636462, 40, 0.0939307},
             {IccForm::kAgreementSingle, 0.19799826, -0.03891063, 0.49357395, 1.826772, 38, 0.0562013},
             {IccForm::kConsistencySingle, 0.21604938, -0.04625789, 0.52225908, 1.826772, 38, 0.0562013},
             {IccForm::kOneWayAverage, 0.38892573, -0.27492349, 0.73806512, 1.636462, 40, 0.0939307},
             {IccForm::kAgreementAverage, 0.42549875, -0.12658270, 0.74514929, 1.826772, 38, 0.0562013},
             {IccForm::kConsistencyAverage, 0.45258621, -0.15292129, 0.76633080, 1.826772, 38, 0.0562013}});
}

TEST_CASE("Intraclass correlations of small numbers and no variance", "[agreement]") {
  using enum IccForm;
  CHECK(IntraclassCorrelation({}, 2, kAgreementSingle).error().message ==
        "The intraclass correlation cannot be computed: fewer than two cases.");
  CHECK_FALSE(IntraclassCorrelation(std::vector<double>{1, 2}, 2, kAgreementSingle).ok());
  CHECK_FALSE(IntraclassCorrelation(std::vector<double>{1, 2, 3}, 2, kAgreementSingle).ok());
  CHECK_FALSE(IntraclassCorrelation(std::vector<double>{1, 2, 3}, 1, kAgreementSingle).ok());
  CHECK_FALSE(IntraclassCorrelation(std::vector<double>{1, 2, 3, std::nan("")}, 2, kAgreementSingle).ok());
  CHECK(IntraclassCorrelation(std::vector<double>{4, 4, 4, 4}, 2, kAgreementSingle).error().message ==
        "The intraclass correlation cannot be computed: all scores are equal.");
  const std::vector<double> twins{0.1, 0.1, 0.2, 0.2, 0.7, 0.7};
  const std::vector<double> shifted{1, 3, 2, 4, 7, 9};
  for (const IccForm form : {kOneWaySingle, kAgreementSingle, kConsistencySingle, kOneWayAverage,
                             kAgreementAverage, kConsistencyAverage}) {
    CHECK(IntraclassCorrelation(twins, 2, form)->icc == Estimate{1, 1, 1, 0.95});
    CHECK_FALSE(IntraclassCorrelation(twins, 2, form)->has_limits);
    const Icc off = IntraclassCorrelation(shifted, 2, form).value();
    CHECK(off.icc.low <= off.icc.value);
    CHECK(off.icc.value <= off.icc.high);
    CHECK(off.icc.high <= 1);
  }
  // A constant difference between reviewers counts against agreement only.
  CHECK(IntraclassCorrelation(shifted, 2, kConsistencySingle)->icc.value == 1);
  CHECK_FALSE(IntraclassCorrelation(shifted, 2, kConsistencySingle)->has_limits);
  CHECK(IntraclassCorrelation(shifted, 2, kAgreementSingle)->has_limits);
  CHECK(IntraclassCorrelation(shifted, 2, kAgreementSingle)->icc.value < 0.9);
  // The reviewers cancel each other out: the cases' means are the same.
  const std::vector<double> opposed{1, 3, 3, 1};
  CHECK_FALSE(IntraclassCorrelation(opposed, 2, kConsistencyAverage).ok());
  CHECK(IntraclassCorrelation(opposed, 2, kConsistencySingle)->icc.value == -1);
}

}  // namespace afterscope
