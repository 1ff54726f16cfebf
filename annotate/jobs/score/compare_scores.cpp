// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/score_sheet.hpp"
#include "annotate/jobs/score/agree_parts.hpp"
#include "annotate/jobs/series/computed.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <utility>

namespace afterscope {
namespace {

// Of one sheet: what each reviewer gave each item of each case.
using ItemOfCase = std::pair<std::string, std::string>;
using ScoresOfReviewer = std::map<ItemOfCase, std::optional<double>>;
using ScoresOfSheet = std::map<std::string, ScoresOfReviewer>;

std::map<std::string, ScoresOfSheet> ScoresBySheet(const std::vector<ReviewedCase>& reviews) {
  std::map<std::string, ScoresOfSheet> sheets;
  for (const ReviewedCase& entry : reviews)
    for (const Score& score : entry.review.scores)
      sheets[score.id.sheet][entry.reviewer][{entry.case_code, score.id.item}] = score.value;
  return sheets;
}

struct Grades {
  std::vector<int> a;
  std::vector<int> b;
  std::size_t kinds = 0;
};

// The values that occur become grades 0, 1, ... in their order.
Grades GradesOf(const std::vector<std::pair<double, double>>& pairs) {
  std::set<double> values;
  for (const auto& [x, y] : pairs) values.insert({x, y});
  const auto grade = [&](double v) {
    return static_cast<int>(std::distance(values.begin(), values.find(v)));
  };
  Grades grades;
  grades.kinds = values.size();
  for (const auto& [x, y] : pairs) {
    grades.a.push_back(grade(x));
    grades.b.push_back(grade(y));
  }
  return grades;
}

Computed<Kappa> KappaOf(const Grades& grades, KappaWeights weights, double level) {
  const auto table = TabulateGrades(grades.a, grades.b, grades.kinds);
  if (!table.ok()) return {std::nullopt, table.error().message};
  return ComputedFrom(CohenKappa(*table, weights, level));
}

std::optional<ScoreAgreement> Compare(const ScoresOfReviewer& a, const ScoresOfReviewer& b, double level) {
  ScoreAgreement out;
  std::vector<std::pair<double, double>> pairs;
  std::set<std::string> common;
  for (const auto& [item, value] : a)
    if (std::any_of(b.begin(), b.end(), [&](const auto& other) { return other.first.first == item.first; }))
      common.insert(item.first);
  if (common.empty()) return std::nullopt;
  for (const auto& [item, value] : a) {
    const auto other = b.find(item);
    const bool both = value && other != b.end() && other->second;
    if (both)
      pairs.emplace_back(*value, *other->second);
    else if (common.contains(item.first) && (value || (other != b.end() && other->second)))
      ++out.only_one;
  }
  for (const auto& [item, value] : b)
    if (value && common.contains(item.first) && !a.contains(item)) ++out.only_one;
  out.pairs = pairs.size();
  const Grades grades = GradesOf(pairs);
  out.linear = KappaOf(grades, KappaWeights::kLinear, level);
  out.quadratic = KappaOf(grades, KappaWeights::kQuadratic, level);
  return out;
}

// Rows of the items that every reviewer scored.
std::vector<double> CompleteRows(const ScoresOfSheet& sheet) {
  std::vector<double> rows;
  for (const auto& [item, value] : sheet.begin()->second) {
    std::vector<double> row;
    for (const auto& [reviewer, scores] : sheet) {
      const auto found = scores.find(item);
      if (found != scores.end() && found->second) row.push_back(*found->second);
    }
    if (row.size() == sheet.size()) rows.insert(rows.end(), row.begin(), row.end());
  }
  return rows;
}

ScoreIcc IccOf(const std::string& sheet, const ScoresOfSheet& scores, double level) {
  ScoreIcc out;
  out.sheet = sheet;
  for (const auto& [reviewer, given] : scores) out.reviewers.push_back(reviewer);
  const std::vector<double> rows = CompleteRows(scores);
  out.items = rows.size() / scores.size();
  for (const IccForm form : {IccForm::kAgreementSingle, IccForm::kConsistencySingle,
                             IccForm::kAgreementAverage, IccForm::kConsistencyAverage})
    out.forms.push_back(ComputedFrom(IntraclassCorrelation(rows, scores.size(), form, level)));
  return out;
}

}  // namespace

void CompareScores(const std::vector<ReviewedCase>& reviews, double level, AgreementModel& model) {
  for (const auto& [sheet, scores] : ScoresBySheet(reviews)) {
    if (scores.size() < 2) continue;
    for (auto a = scores.begin(); a != scores.end(); ++a)
      for (auto b = std::next(a); b != scores.end(); ++b) {
        auto pair = Compare(a->second, b->second, level);
        if (!pair) continue;
        pair->sheet = sheet;
        pair->first = a->first;
        pair->second = b->first;
        model.scores.push_back(std::move(*pair));
      }
    model.icc.push_back(IccOf(sheet, scores, level));
  }
}

}  // namespace afterscope
