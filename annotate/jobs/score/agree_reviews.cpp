// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/score/agree_reviews.hpp"

#include "annotate/jobs/score/agree_parts.hpp"
#include "annotate/report/build/parts.hpp"

namespace afterscope {
namespace {

bool HasSteps(const ReviewedCase& entry) { return !entry.review.visits.empty(); }

}  // namespace

Result<AgreementModel> AgreeReviews(const std::vector<ReviewedCase>& reviews, const ReportWords& words,
                                    double level) {
  AgreementModel model;
  for (std::size_t i = 0; i < reviews.size(); ++i)
    for (std::size_t k = i + 1; k < reviews.size(); ++k) {
      if (reviews[i].case_code != reviews[k].case_code) continue;
      if (HasSteps(reviews[i]) && HasSteps(reviews[k]))
        model.timelines.push_back(CompareTimelines(reviews[i], reviews[k]));
      else
        model.cautions.push_back(
            FillBraces(words.Text("agree.caution.untagged"),
                       {reviews[i].case_code, reviews[i].reviewer, reviews[k].reviewer}));
    }
  CompareScores(reviews, words, level, model);
  CompareValues(reviews, level, model);
  if (model.timelines.empty() && model.scores.empty() && model.values.empty() && model.repeated.empty())
    return Error{
        ErrorCode::kNotComputable,
        "There is nothing to agree on: no case has two reviews with steps, scores or marks, and nothing "
        "was marked twice on one frame."};
  return model;
}

}  // namespace afterscope
