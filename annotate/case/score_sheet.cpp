// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/score_sheet.hpp"

#include "annotate/case/text.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

std::string LevelsText(const ScoreItem& item) {
  std::vector<std::string> values;
  for (const ScoreLevel& level : item.levels) values.push_back(TextFrom(level.value));
  if (item.may_not_apply) values.emplace_back("na");
  return JoinText(values, ", ");
}

bool HasMoment(const Review& review, const Score& score) {
  return std::any_of(score.moments.begin(), score.moments.end(), [&](const MomentId& id) {
    return std::any_of(review.moments.begin(), review.moments.end(),
                       [&](const Moment& moment) { return moment.id == id; });
  });
}

// A value that no level has: from another edition of the sheet, or put there by hand.
bool IsOffTheSheet(const ScoreItem& item, const Score& score) {
  return score.value && !item.Find(*score.value);
}

}  // namespace

const Score* FindScore(const std::vector<Score>& scores, const std::string& sheet, const std::string& item) {
  for (const Score& score : scores)
    if (score.id.sheet == sheet && score.id.item == item) return &score;
  return nullptr;
}

const ScoreLevel* ScoreItem::Find(double value) const {
  for (const ScoreLevel& level : levels)
    if (level.value == value) return &level;
  return nullptr;
}

const ScoreItem* ScoreSheet::Find(const std::string& key) const {
  for (const ScoreItem& item : items)
    if (item.key == key) return &item;
  return nullptr;
}

Result<Score> MakeScore(const ScoreSheet& sheet, const std::string& item, const std::string& value) {
  const ScoreItem* known = sheet.Find(item);
  if (!known)
    return Error{ErrorCode::kBadCall, fmt::format("The score sheet '{}' has no item '{}'.", sheet.id, item)};
  Score score;
  score.id = {sheet.id, item};
  const std::optional<double> number = NumberFrom(value);
  const bool applies = value != "na" && !(number && number == sheet.not_applicable);
  if (!applies && known->may_not_apply) return score;
  if (!applies || !number || !known->Find(*number))
    return Error{ErrorCode::kBadCall, fmt::format("Can't score '{}' with '{}': give one of {}.", known->name,
                                                  value, LevelsText(*known))};
  score.value = number;
  return score;
}

ScoreSum SumScores(const ScoreSheet& sheet, const std::vector<Score>& scores, const std::string& group) {
  ScoreSum sum;
  double weights = 0;
  for (const ScoreItem& item : sheet.items) {
    if (!group.empty() && item.group != group) continue;
    ++sum.items;
    const Score* score = FindScore(scores, sheet.id, item.key);
    if (!score || IsOffTheSheet(item, *score)) {
      ++sum.missing;
    } else if (!score->value) {
      ++sum.not_applicable;
    } else {
      ++sum.scored;
      sum.sum += item.weight * *score->value;
      sum.most += item.weight * item.Most();
      weights += item.weight;
    }
  }
  if (weights > 0) sum.mean = sum.sum / weights;
  if (sum.most > 0) sum.percent = 100 * sum.sum / sum.most;
  if (sheet.pass_percent && sum.percent && sum.missing == 0 && group.empty())
    sum.passed = *sum.percent >= *sheet.pass_percent;
  return sum;
}

std::vector<std::string> UnfinishedScores(const ScoreSheet& sheet, const std::vector<Score>& scores,
                                          const Review& review) {
  std::vector<std::string> sentences;
  for (const ScoreItem& item : sheet.items) {
    const Score* score = FindScore(scores, sheet.id, item.key);
    if (!score)
      sentences.push_back(
          fmt::format("'{}' has no score yet: score it, or say that it does not apply.", item.name));
    else if (IsOffTheSheet(item, *score))
      sentences.push_back(fmt::format("'{}' is scored {}, which is none of {}.", item.name,
                                      TextFrom(*score->value), LevelsText(item)));
    else if (item.needs_moment && score->value && !HasMoment(review, *score))
      sentences.push_back(fmt::format("'{}' needs a moment as evidence.", item.name));
  }
  return sentences;
}

}  // namespace afterscope
