// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/old_scores.hpp"

#include "annotate/case/score_sheet.hpp"
#include "annotate/case/text.hpp"
#include "annotate/case/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string_view>
#include <utility>

namespace afterscope {
namespace {

constexpr std::string_view kScores = "score/";
constexpr const char* kRemark = "/remark";
constexpr const char* kMoments = "/moments";
constexpr const char* kNotApplicable = "na";
constexpr const char* kEarlierGoal = "earlier_goal";

struct OldScore {
  std::string field;  // its name in `extra`
  Score score;
};

std::string ExtraOf(const CaseRecord& record, const std::string& name) {
  const auto found = record.extra.find(name);
  return found == record.extra.end() ? std::string() : found->second;
}

std::optional<OldScore> OldScoreFrom(const CaseRecord& record, const std::string& field,
                                     const std::string& sheet_and_item, const std::string& text) {
  const std::vector<std::string> parts = SplitText(sheet_and_item, '/');
  const std::optional<double> value = NumberFrom(text);
  if (parts.size() != 2 || !IsValidIdText(parts[0]) || !IsValidIdText(parts[1])) return std::nullopt;
  if (!value && text != kNotApplicable) return std::nullopt;
  OldScore old{field, {{parts[0], parts[1]}, value, ExtraOf(record, field + kRemark), {}}};
  for (const std::string& id : SplitText(ExtraOf(record, field + kMoments), ','))
    if (IsValidIdText(id)) old.score.moments.push_back({id});
  return old;
}

std::vector<OldScore> OldScoresOf(const CaseRecord& record, const ReviewId& review) {
  std::vector<OldScore> scores;
  const std::string prefix = fmt::format("{}{}/", kScores, review.value);
  for (auto field = record.extra.lower_bound(prefix);
       field != record.extra.end() && field->first.starts_with(prefix); ++field)
    if (auto old = OldScoreFrom(record, field->first, field->first.substr(prefix.size()), field->second))
      scores.push_back(std::move(*old));
  return scores;
}

// Beside a signed review, which goes on reading it from the case, it is not an unsigned one's to take.
std::optional<GoalOutcome> OldGoal(const CaseRecord& record, const Review& review) {
  if (review.is_self || (!review.is_signed && !record.signed_reviews.empty())) return std::nullopt;
  return FromWord<GoalOutcome>(ExtraOf(record, kEarlierGoal));
}

bool HasScore(const Review& review, const ScoreId& id) {
  return FindScore(review.scores, id.sheet, id.item) != nullptr;
}

bool TakesGoal(const Review& review, const std::optional<GoalOutcome>& goal) {
  return goal && review.assessment.earlier_goal == GoalOutcome::kNotSaid;
}

}  // namespace

Review WithOldScores(const CaseRecord& record, Review review) {
  for (OldScore& old : OldScoresOf(record, review.id))
    if (!HasScore(review, old.score.id)) review.scores.push_back(std::move(old.score));
  std::sort(review.scores.begin(), review.scores.end(),
            [](const Score& a, const Score& b) { return a.id < b.id; });
  if (const auto goal = OldGoal(record, review); TakesGoal(review, goal))
    review.assessment.earlier_goal = *goal;
  return review;
}

ScoreMove MoveOldScores(const CaseRecord& record, const Review& review) {
  const std::string label = "Scores into the review";
  ScoreMove move{{label, {}}, {label, {}}};
  const auto unset = [&](const std::string& field) {
    if (record.extra.contains(field)) move.record.edits.emplace_back(SetCaseField{"extra." + field, ""});
  };
  for (OldScore& old : OldScoresOf(record, review.id)) {
    for (const char* part : {"", kRemark, kMoments}) unset(old.field + part);
    if (!HasScore(review, old.score.id)) move.review.edits.emplace_back(Put<Score>{std::move(old.score)});
  }
  if (const auto goal = OldGoal(record, review)) {
    unset(kEarlierGoal);
    Assessment words = review.assessment;
    words.earlier_goal = *goal;
    if (TakesGoal(review, goal)) move.review.edits.emplace_back(SetAssessment{std::move(words)});
  }
  return move;
}

bool SetsOldScores(const EditGroup& group) {
  return std::any_of(group.edits.begin(), group.edits.end(), [](const Edit& edit) {
    const auto* set = std::get_if<SetCaseField>(&edit);
    return set && (set->field.starts_with(fmt::format("extra.{}", kScores)) ||
                   set->field == fmt::format("extra.{}", kEarlierGoal));
  });
}

}  // namespace afterscope
