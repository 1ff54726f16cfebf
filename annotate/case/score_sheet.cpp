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

// extra.score/REVIEW/SHEET/ITEM, and with /remark or /moments after it.
constexpr std::string_view kPrefix = "score/";
constexpr const char* kNotApplicable = "na";

std::string FieldOf(const ReviewId& review, const std::string& sheet, const std::string& item) {
  return fmt::format("extra.{}{}/{}/{}", kPrefix, review.value, sheet, item);
}

std::string ExtraOf(const CaseRecord& record, const std::string& name) {
  const auto found = record.extra.find(name);
  return found == record.extra.end() ? std::string() : found->second;
}

}  // namespace

std::vector<Score> ScoresOf(const CaseRecord& record, const ReviewId& review) {
  std::vector<Score> scores;
  const std::string prefix = fmt::format("{}{}/", kPrefix, review.value);
  for (auto field = record.extra.lower_bound(prefix);
       field != record.extra.end() && field->first.starts_with(prefix); ++field) {
    const std::vector<std::string> parts = SplitText(field->first.substr(prefix.size()), '/');
    const std::optional<double> value = NumberFrom(field->second);
    if (parts.size() != 2 || (!value && field->second != kNotApplicable)) continue;
    Score score{parts[0], parts[1], value, ExtraOf(record, field->first + "/remark"), {}};
    for (const std::string& id : SplitText(ExtraOf(record, field->first + "/moments"), ','))
      score.moments.push_back({id});
    scores.push_back(std::move(score));
  }
  return scores;
}

const Score* FindScore(const std::vector<Score>& scores, const std::string& sheet, const std::string& item) {
  for (const Score& score : scores)
    if (score.sheet == sheet && score.item == item) return &score;
  return nullptr;
}

std::vector<Edit> ScoreEdits(const ReviewId& review, const Score& score) {
  const std::string field = FieldOf(review, score.sheet, score.item);
  std::vector<std::string> moments;
  for (const MomentId& moment : score.moments) moments.push_back(moment.value);
  return {SetCaseField{field, score.value ? TextFrom(*score.value) : kNotApplicable},
          SetCaseField{field + "/remark", score.remark},
          SetCaseField{field + "/moments", JoinText(moments, ",")}};
}

std::vector<Edit> RemoveScoreEdits(const ReviewId& review, const std::string& sheet,
                                   const std::string& item) {
  const std::string field = FieldOf(review, sheet, item);
  return {SetCaseField{field, ""}, SetCaseField{field + "/remark", ""}, SetCaseField{field + "/moments", ""}};
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
  score.sheet = sheet.id;
  score.item = item;
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
    if (!score) {
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
      sentences.push_back(fmt::format("'{}' has no score yet; na says that it does not apply.", item.name));
    else if (item.needs_moment && score->value && !HasMoment(review, *score))
      sentences.push_back(fmt::format("'{}' needs a moment as evidence.", item.name));
  }
  return sentences;
}

}  // namespace afterscope
