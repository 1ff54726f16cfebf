// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/edit.hpp"
#include "annotate/case/score_sheet.hpp"
#include "annotate/jobs/score/agree_reviews.hpp"
#include "annotate/report/agreement/agreement_text.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cmath>

namespace afterscope {
namespace {

Result<AgreementModel> Agree(const std::vector<ReviewedCase>& reviews) {
  return AgreeReviews(reviews, LoadReportWords(std::string(places::kAssets) + "/reports/words.json").value());
}

struct Step {
  const char* key;
  double start;
  double end;
};

// A review in tenths of a second.
ReviewedCase Reviewed(const std::string& code, const std::string& reviewer, const std::vector<Step>& steps) {
  ReviewedCase entry{code, reviewer, {}, {}};
  RecordingRef times;
  times.shape.time_base = {1, 10};
  times.shape.end = {100'000};
  entry.record.recordings.push_back(times);
  entry.review.id = {"r1"};
  for (const Step& step : steps)
    entry.review.visits.push_back({{fmt::format("v{}", entry.review.visits.size() + 1)},
                                   step.key,
                                   0,
                                   {0, {std::lround(step.start * 10)}},
                                   FrameRef{0, {std::lround(step.end * 10)}},
                                   "",
                                   false});
  return entry;
}

void Give(ReviewedCase& entry, const std::string& item, std::optional<double> value) {
  const EditGroup group{"Score", {Put<Score>{{{"s", item}, value, "", {}}}}};
  REQUIRE(ApplyEdits(group, entry.record, entry.review).ok());
}

}  // namespace

TEST_CASE("Two timelines of one case are compared, the first as reference", "[agree]") {
  // By hand: a 0-10 against 0-9, b 10-20 against 9-20, c only in the first.
  const std::vector<ReviewedCase> reviews{
      Reviewed("x", "R-1", {{"a", 0, 10}, {"b", 10, 20}, {"c", 20, 30}}),
      Reviewed("x", "R-2", {{"a", 0, 9}, {"b", 9, 20}}),
      Reviewed("y", "R-2", {{"a", 0, 9}}),
  };
  const auto model = Agree(reviews);
  REQUIRE(model.ok());
  REQUIRE(model->timelines.size() == 1);
  const TimelineAgreement& t = model->timelines[0];
  CHECK(t.boundaries.value->matched.size() == 2);
  CHECK(t.boundaries.value->only_a.size() == 1);
  CHECK(t.boundaries.value->start_s->least == Approx(-1));
  REQUIRE(t.f1.size() == 4);
  // Overlaps 9/10 and 10/11; two of three and two of two matched: F1 = 2 * 1 * (2/3) / (5/3) = 0.8.
  for (const auto& f1 : t.f1) CHECK(f1.value->f1 == Approx(0.8));
  CHECK(t.order.value->score == Approx(2.0 / 3));
  // Same step 9 + 10 of 30 s.
  CHECK(t.frames.value->accuracy == Approx(19.0 / 30));
  REQUIRE(t.differences.size() == 2);
  CHECK(t.differences[0].start_s == Approx(9));
  CHECK(t.differences[0].first == "a");
  CHECK(t.differences[0].second == "b");
  CHECK(t.differences[1].second.empty());
}

// The figures of the case above, in the words of the assets.
TEST_CASE("What reviews agree on is told in lines", "[agree]") {
  const std::vector<ReviewedCase> reviews{
      Reviewed("x", "R-1", {{"a", 0, 10}, {"b", 10, 20}, {"c", 20, 30}}),
      Reviewed("x", "R-2", {{"a", 0, 9}, {"b", 9, 20}}),
      Reviewed("y", "R-1", {}),
      Reviewed("y", "R-2", {{"a", 0, 9}}),
  };
  const ReportWords words = LoadReportWords(std::string(places::kAssets) + "/reports/words.json").value();
  const auto model = AgreeReviews(reviews, words);
  REQUIRE(model.ok());
  CHECK(model->cautions == std::vector<std::string>{"Of case ‘y’ R-1 and R-2 have not both tagged steps."});
  std::string all;
  for (const std::string& line : AgreementLines(*model, words)) all.append(line).append("\n");
  for (const char* told :
       {"Steps of case x: R-1 and R-2", "visits of one alone", "1 and 0\n", "F1 at 75 %", "0.800\n",
        "(same step 63\u00a0%)", "0:09.00 to 0:10.00  a / b", "0:20.00 to 0:30.00  c / no step"}) {
    INFO(told << " in\n" << all);
    CHECK(all.find(told) != std::string::npos);
  }
  CHECK(all.find("agree.") == std::string::npos);  // no text is missing in the assets
}

// Shrout & Fleiss 1979, Psychol Bull 86:420, table 2: ICC(2,1) 0.2897638 with limits 0.01879 to 0.76108,
// ICC(3,1) 0.7148407, ICC(2,k) 0.6200505, ICC(3,k) 0.9093155 (psych::ICC).
TEST_CASE("Intraclass correlations of scores are the published ones", "[agree]") {
  const double scores[6][4] = {{9, 2, 5, 8}, {6, 1, 3, 2},  {8, 4, 6, 8},
                               {7, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, 4, 7}};
  std::vector<ReviewedCase> reviews;
  for (int c = 0; c < 6; ++c)
    for (int r = 0; r < 4; ++r) {
      reviews.push_back(Reviewed(fmt::format("case{}", c), fmt::format("R-{}", r), {}));
      Give(reviews.back(), "item", scores[c][r]);
      if (c == 0 && r == 0) Give(reviews.back(), "other", std::nullopt);  // not applicable enters nothing
    }
  const auto model = Agree(reviews);
  REQUIRE(model.ok());
  REQUIRE(model->icc.size() == 2);
  CHECK(model->icc[0].over == IccOver::kItems);
  CHECK(model->icc[0].items == 6);
  CHECK(model->icc[0].cases == 6);
  // One item a case: over cases it is the same.
  CHECK(model->icc[1].over == IccOver::kCases);
  CHECK(model->icc[1].forms[0].value->icc.value == Approx(0.2897638).epsilon(1e-6));
  CHECK(model->icc[0].forms[0].value->icc.value == Approx(0.2897638).epsilon(1e-6));
  CHECK(model->icc[0].forms[0].value->icc.low == Approx(0.01879).epsilon(1e-3));
  CHECK(model->icc[0].forms[1].value->icc.value == Approx(0.7148407).epsilon(1e-6));
  CHECK(model->icc[0].forms[2].value->icc.value == Approx(0.6200505).epsilon(1e-6));
  CHECK(model->icc[0].forms[3].value->icc.value == Approx(0.9093155).epsilon(1e-6));
}

// "anxiety" of R's package irr, raters 1 and 2: linear 0.189189, quadratic 0.296765.
TEST_CASE("Weighted kappa of scores is the published one", "[agree]") {
  const int a[] = {3, 3, 3, 4, 5, 5, 2, 3, 5, 2, 2, 6, 1, 5, 2, 2, 1, 2, 4, 3};
  const int b[] = {3, 6, 4, 6, 2, 4, 2, 4, 3, 3, 2, 3, 3, 3, 2, 2, 1, 3, 3, 4};
  std::vector<ReviewedCase> reviews{Reviewed("x", "R-1", {}), Reviewed("x", "R-2", {})};
  for (int i = 0; i < 20; ++i) {
    Give(reviews[0], fmt::format("i{}", i), a[i]);
    Give(reviews[1], fmt::format("i{}", i), b[i]);
  }
  Give(reviews[0], "alone", 3);
  const auto model = Agree(reviews);
  REQUIRE(model.ok());
  REQUIRE(model->scores.size() == 1);
  CHECK(model->scores[0].pairs == 20);
  CHECK(model->scores[0].cases == 1);
  CHECK(model->scores[0].linear.value->cautions.back() ==
        "One case: this speaks for its items, not for other cases.");
  CHECK(model->scores[0].only_one == 1);
  CHECK(model->scores[0].linear.value->kappa.value == Approx(0.189189).epsilon(1e-5));
  CHECK(model->scores[0].quadratic.value->kappa.value == Approx(0.296765).epsilon(1e-5));
}

// Limits of a kappa over four cases of five items, left out one at a time. R 4.2.2: kappa by
// psych::cohen.kappa(w = |i - j| or (i - j)^2) 2.2.9, L = boot::empinf(type = "jack"), standard error
// sqrt(sum((L - mean(L))^2) / (n (n - 1))), limits with qt(0.975, 3). The intraclass correlation of the
// cases' means 3.6 3.8, 3.2 3.6, 3.6 3.2, 2.4 2.8 by psych::ICC.
TEST_CASE("Scores of several cases: limits of kappa from the cases, and cases told apart", "[agree]") {
  const std::vector<std::pair<std::vector<int>, std::vector<int>>> cases{{{3, 4, 2, 5, 4}, {3, 4, 3, 5, 4}},
                                                                         {{2, 2, 3, 4, 5}, {3, 2, 3, 5, 5}},
                                                                         {{5, 4, 4, 2, 3}, {4, 4, 4, 2, 2}},
                                                                         {{1, 3, 2, 2, 4}, {2, 3, 2, 3, 4}}};
  std::vector<ReviewedCase> reviews;
  for (std::size_t c = 0; c < cases.size(); ++c)
    for (const bool second : {false, true}) {
      reviews.push_back(Reviewed(fmt::format("case{}", c), second ? "R-2" : "R-1", {}));
      const std::vector<int>& given = second ? cases[c].second : cases[c].first;
      for (std::size_t i = 0; i < given.size(); ++i) Give(reviews.back(), fmt::format("i{}", i), given[i]);
    }
  const auto model = Agree(reviews);
  REQUIRE(model.ok());
  REQUIRE(model->scores.size() == 1);
  const ScoreAgreement& scores = model->scores[0];
  CHECK(scores.cases == 4);
  CHECK(scores.pairs == 20);
  CHECK(scores.linear.value->kappa.value == Approx(0.7142857143).epsilon(1e-9));
  CHECK(scores.linear.value->kappa.low == Approx(0.5984233639).epsilon(1e-9));
  CHECK(scores.linear.value->kappa.high == Approx(0.8301480647).epsilon(1e-9));
  CHECK(scores.quadratic.value->kappa.value == Approx(0.8547717842).epsilon(1e-9));
  CHECK(scores.quadratic.value->kappa.low == Approx(0.7976890006).epsilon(1e-9));
  CHECK(scores.quadratic.value->kappa.high == Approx(0.9118545679).epsilon(1e-9));
  REQUIRE(model->icc.size() == 2);
  CHECK(model->icc[0].items == 20);
  CHECK(model->icc[1].cases == 4);
  CHECK(model->icc[1].forms[0].value->icc.value == Approx(0.7417219).epsilon(1e-6));
  CHECK(model->icc[1].forms[1].value->icc.value == Approx(0.7225806).epsilon(1e-6));
}

TEST_CASE("Full agreement has no sham limits", "[agree]") {
  std::vector<ReviewedCase> reviews;
  for (const char* code : {"x", "y", "z"})
    for (const char* who : {"R-1", "R-2"}) {
      reviews.push_back(Reviewed(code, who, {}));
      for (const int i : {2, 3, 4, 5}) Give(reviews.back(), fmt::format("i{}", i), i);
    }
  const auto model = Agree(reviews);
  REQUIRE(model.ok());
  const Kappa& kappa = *model->scores[0].linear.value;
  CHECK(kappa.kappa.value == 1);
  CHECK(kappa.kappa.low < 0.7);  // of 12 items up to 26 % may differ (Clopper & Pearson)
  CHECK(kappa.cautions.size() == 3);
  CHECK_FALSE(model->icc[0].forms[0].value->has_limits);
  CHECK_FALSE(model->icc[1].forms[0].value);  // the cases do not differ
}

// Bland & Altman 1986, Lancet i:307: Wright less mini peak flow meter, mean -2.117647, limits -78.0973 and
// 73.8620 (1.96 standard deviations), here as seconds of a step.
TEST_CASE("Limits of agreement of a step's time are the published ones", "[agree]") {
  const double wright[] = {494, 395, 516, 434, 476, 557, 413, 442, 650,
                           433, 417, 656, 267, 478, 178, 423, 427};
  const double mini[] = {512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451};
  std::vector<ReviewedCase> reviews;
  for (int i = 0; i < 17; ++i) {
    reviews.push_back(Reviewed(fmt::format("c{}", i), "A", {{"rhexis", 0, wright[i]}}));
    reviews.push_back(Reviewed(fmt::format("c{}", i), "B", {{"rhexis", 0, mini[i]}}));
  }
  const auto model = Agree(reviews);
  REQUIRE(model.ok());
  bool found = false;
  for (const ValueAgreement& v : model->values) {
    if (v.name != "time.step_total") continue;
    found = true;
    CHECK(v.cases == 17);
    CHECK(v.limits.value->mean_difference.value == Approx(-2.117647).epsilon(1e-6));
    CHECK(v.limits.value->lower.value == Approx(-78.0973).epsilon(1e-5));
    CHECK(v.limits.value->upper.value == Approx(73.8620).epsilon(1e-5));
  }
  CHECK(found);
}

TEST_CASE("An outline marked again tells how far marks vary", "[agree]") {
  ReviewedCase entry = Reviewed("x", "R-1", {});
  entry.record.recordings[0].shape.width = 1000;
  entry.record.recordings[0].shape.height = 1000;
  int number = 0;
  for (const double radius : {100.0, 102.0}) {
    Mark mark;
    mark.id = {fmt::format("m{}", ++number)};
    mark.at = {0, {50}};
    mark.kind = MarkKind::kRhexis;
    for (int i = 0; i < 24; ++i)
      mark.points.push_back(
          {500 + radius * std::cos(i * 0.2617993878), 500 + radius * std::sin(i * 0.2617993878)});
    entry.review.marks.push_back(mark);
  }
  const auto model = Agree({entry});
  REQUIRE(model.ok());
  bool found = false;
  for (const MarkRepeatability& r : model->repeated)
    if (r.name == "rhexis.diameter_equivalent.as_seen") {
      found = true;
      // Diameters 200 and 204 px: within_sd = |d| / sqrt 2 = 2.828 (Bland & Altman 1996, BMJ 313:744). How
      // far marks vary is learnt from these two outlines, and how much is smoothed follows from that: 0.06
      // px.
      CHECK(r.repeatability.value->within_sd.value == Approx(2.828).epsilon(0.02));
    }
  CHECK(found);
}

TEST_CASE("One review alone has nothing to agree with", "[agree]") {
  CHECK(Agree({}).error().code == ErrorCode::kNotComputable);
  CHECK(Agree({Reviewed("x", "R-1", {{"a", 0, 10}})}).error().code == ErrorCode::kNotComputable);
}

}  // namespace afterscope
