// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/score/agree_reviews.hpp"

#include <vector>

namespace afterscope {

// The parts of AgreeReviews.

TimelineAgreement CompareTimelines(const ReviewedCase& first, const ReviewedCase& second);
// Every pair of reviewers and every sheet that both used.
void CompareScores(const std::vector<ReviewedCase>& reviews, const ReportWords& words, double level,
                   AgreementModel& model);
// Every pair of reviewers and every value that both measured.
void CompareValues(const std::vector<ReviewedCase>& reviews, double level, AgreementModel& model);

}  // namespace afterscope
