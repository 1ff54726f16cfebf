// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/jobs/series/series_model.hpp"
#include "annotate/report/report_words.hpp"
#include "metrics/agreement/boundary_difference.hpp"
#include "metrics/agreement/edit_score.hpp"
#include "metrics/agreement/frame_agreement.hpp"
#include "metrics/agreement/icc.hpp"
#include "metrics/agreement/kappa.hpp"
#include "metrics/agreement/limits_of_agreement.hpp"
#include "metrics/agreement/repeatability.hpp"
#include "metrics/agreement/step_overlap.hpp"
#include "metrics/agreement/visit_f1.hpp"

#include <string>
#include <vector>

namespace afterscope {

// One review of a case, as agreement is computed from it.
struct ReviewedCase {
  std::string case_code;  // reviews of one code are of the same case
  std::string reviewer;   // who reviewed; the review's id where no code was given
  CaseRecord record;
  Review review;
};

// A stretch that two reviewers named differently.
struct TimelineDifference {
  double start_s = 0;  // on the case clock
  double end_s = 0;
  std::string first;  // the steps they gave; empty: none
  std::string second;
};

// Two reviewers' step timelines of one case; where one is the reference it is the first.
struct TimelineAgreement {
  std::string case_code;
  std::string first;
  std::string second;
  std::vector<std::string> steps;  // what the labels of the measures stand for
  Computed<BoundaryDifference> boundaries;
  Computed<std::vector<StepOverlap>> overlaps;
  std::vector<Computed<VisitF1>> f1;  // at kUsualOverlaps
  Computed<EditScore> order;
  Computed<FrameAgreement> frames;
  std::vector<TimelineDifference> differences;  // in order of time
};

// Scores of one sheet by two reviewers, over all items of all their common cases. Items of one case are
// alike: from three cases on the limits are those of leaving out one case at a time (Fleiss & Davies 1982, Am
// J Epidemiol 115:841, from memory); with fewer they hold for these cases only, which a caution says.
struct ScoreAgreement {
  std::string sheet;
  std::string first;
  std::string second;
  std::size_t cases = 0;     // that both scored
  std::size_t pairs = 0;     // items that both scored
  std::size_t only_one = 0;  // items that one scored and the other left or said not to apply
  Computed<Kappa> linear;
  Computed<Kappa> quadratic;
};

enum class IccOver {
  kItems,  // each item of each case is rated: how far the reviewers agree item by item, in these cases
  kCases,  // each case is, by the mean of the items that all of them scored: how well cases are told apart
};

// Scores of one sheet by all reviewers who scored the same items.
struct ScoreIcc {
  std::string sheet;
  IccOver over = IccOver::kItems;
  std::vector<std::string> reviewers;
  std::size_t cases = 0;             // scored by all of them
  std::size_t items = 0;             // of these cases, scored by all of them
  std::vector<Computed<Icc>> forms;  // agreement single, consistency single, agreement average, consistency
                                     // average
};

// One measured value by two reviewers, over the cases that both measured.
struct ValueAgreement {
  std::string name;
  std::string step;
  std::string unit;
  std::string first;
  std::string second;
  std::size_t cases = 0;
  double mean_difference = 0;  // first less second
  Computed<LimitsOfAgreement> limits;
};

// One reviewer's repeated marks of the same thing on the same frame.
struct MarkRepeatability {
  std::string name;
  std::string unit;
  std::string reviewer;
  Computed<Repeatability> repeatability;
};

struct AgreementModel {
  std::vector<TimelineAgreement> timelines;
  std::vector<ScoreAgreement> scores;
  std::vector<ScoreIcc> icc;
  std::vector<ValueAgreement> values;
  std::vector<MarkRepeatability> repeated;
  std::vector<std::string> cautions;
};

// Cautions are in the words "agree.caution.*". kNotComputable where neither two reviews of one case nor
// repeated marks are among them.
Result<AgreementModel> AgreeReviews(const std::vector<ReviewedCase>& reviews, const ReportWords& words,
                                    double level = 0.95);

}  // namespace afterscope
