// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/score_sheet.hpp"
#include "annotate/jobs/score/agree_parts.hpp"
#include "annotate/jobs/series/computed.hpp"
#include "annotate/report/build/parts.hpp"
#include "metrics/agreement/jackknife.hpp"

#include <fmt/format.h>

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

// Scores of items that both reviewers scored, side by side, and of which case each is.
struct PairedScores {
  std::vector<double> a;
  std::vector<double> b;
  std::vector<std::string> cases;
};

PairedScores WithoutCase(const PairedScores& pairs, const std::string& left_out) {
  PairedScores rest;
  for (std::size_t i = 0; i < pairs.cases.size(); ++i) {
    if (pairs.cases[i] == left_out) continue;
    rest.a.push_back(pairs.a[i]);
    rest.b.push_back(pairs.b[i]);
    rest.cases.push_back(pairs.cases[i]);
  }
  return rest;
}

// The limits of a kappa over several cases. Where all cases agree alike nothing can be learnt from leaving
// one out, and the kappa's own stay, with a word.
void TakeLimitsFromCases(const PairedScores& pairs, KappaWeights weights, const ReportWords& words,
                         Kappa& kappa) {
  const std::set<std::string> known(pairs.cases.begin(), pairs.cases.end());
  const std::vector<std::string> cases(known.begin(), known.end());
  const auto without = [&](std::size_t left_out) -> Result<double> {
    const PairedScores rest = WithoutCase(pairs, cases[left_out]);
    AFTERSCOPE_ASSIGN(const Kappa part, KappaOfScores(rest.a, rest.b, weights, kappa.kappa.level));
    return part.kappa.value;
  };
  const auto limits = JackknifeLimits(kappa.kappa.value, cases.size(), without, kappa.kappa.level);
  const auto say = [&](const char* key) {
    return FillBraces(words.Text(std::string("agree.caution.") + key), {fmt::format("{}", cases.size())});
  };
  if (limits.ok() && limits->low < limits->high) {
    kappa.kappa.low = std::max(-1.0, limits->low);
    kappa.kappa.high = std::min(1.0, limits->high);
    kappa.has_limits = true;
    kappa.cautions = {say("jackknife")};
  } else {
    kappa.cautions.push_back(cases.size() == 1 ? words.Text("agree.caution.one_case") : say("independent"));
  }
}

Computed<Kappa> KappaOf(const PairedScores& pairs, KappaWeights weights, const ReportWords& words,
                        double level) {
  auto kappa = KappaOfScores(pairs.a, pairs.b, weights, level);
  if (kappa.ok()) TakeLimitsFromCases(pairs, weights, words, *kappa);
  return ComputedFrom(std::move(kappa));
}

std::optional<ScoreAgreement> Compare(const ScoresOfReviewer& a, const ScoresOfReviewer& b,
                                      const ReportWords& words, double level) {
  ScoreAgreement out;
  PairedScores pairs;
  std::set<std::string> common;
  for (const auto& [item, value] : a)
    if (std::any_of(b.begin(), b.end(),
                    [&id = item.first](const auto& other) { return other.first.first == id; }))
      common.insert(item.first);
  if (common.empty()) return std::nullopt;
  for (const auto& [item, value] : a) {
    const auto other = b.find(item);
    const bool both = value && other != b.end() && other->second;
    if (both) {
      pairs.a.push_back(*value);
      pairs.b.push_back(*other->second);
      pairs.cases.push_back(item.first);
    } else if (common.contains(item.first) && (value || (other != b.end() && other->second))) {
      ++out.only_one;
    }
  }
  for (const auto& [item, value] : b)
    if (value && common.contains(item.first) && !a.contains(item)) ++out.only_one;
  out.cases = std::set<std::string>(pairs.cases.begin(), pairs.cases.end()).size();
  out.pairs = pairs.a.size();
  out.linear = KappaOf(pairs, KappaWeights::kLinear, words, level);
  out.quadratic = KappaOf(pairs, KappaWeights::kQuadratic, words, level);
  return out;
}

// Of each case the items that every reviewer scored, a row of reviewers each.
using RowsOfCase = std::vector<std::vector<double>>;

std::map<std::string, RowsOfCase> CompleteRows(const ScoresOfSheet& sheet) {
  std::map<std::string, RowsOfCase> rows;
  for (const auto& [item, value] : sheet.begin()->second) {
    std::vector<double> row;
    for (const auto& [reviewer, scores] : sheet) {
      const auto found = scores.find(item);
      if (found != scores.end() && found->second) row.push_back(*found->second);
    }
    if (row.size() == sheet.size()) rows[item.first].push_back(std::move(row));
  }
  return rows;
}

// What is rated, row by row.
std::vector<double> RatedRows(const std::map<std::string, RowsOfCase>& cases, IccOver over,
                              std::size_t reviewers) {
  std::vector<double> all;
  for (const auto& [code, rows] : cases) {
    if (over == IccOver::kItems) {
      for (const std::vector<double>& row : rows) all.insert(all.end(), row.begin(), row.end());
      continue;
    }
    for (std::size_t reviewer = 0; reviewer < reviewers; ++reviewer) {
      double sum = 0;
      for (const std::vector<double>& row : rows) sum += row[reviewer];
      all.push_back(sum / static_cast<double>(rows.size()));
    }
  }
  return all;
}

ScoreIcc IccOf(const std::string& sheet, const ScoresOfSheet& scores, IccOver over, double level) {
  ScoreIcc out;
  out.sheet = sheet;
  out.over = over;
  for (const auto& [reviewer, given] : scores) out.reviewers.push_back(reviewer);
  const auto cases = CompleteRows(scores);
  out.cases = cases.size();
  for (const auto& [code, rows] : cases) out.items += rows.size();
  const std::vector<double> rows = RatedRows(cases, over, scores.size());
  for (const IccForm form : {IccForm::kAgreementSingle, IccForm::kConsistencySingle,
                             IccForm::kAgreementAverage, IccForm::kConsistencyAverage})
    out.forms.push_back(ComputedFrom(IntraclassCorrelation(rows, scores.size(), form, level)));
  return out;
}

}  // namespace

void CompareScores(const std::vector<ReviewedCase>& reviews, const ReportWords& words, double level,
                   AgreementModel& model) {
  for (const auto& [sheet, scores] : ScoresBySheet(reviews)) {
    if (scores.size() < 2) continue;
    for (auto a = scores.begin(); a != scores.end(); ++a)
      for (auto b = std::next(a); b != scores.end(); ++b) {
        auto pair = Compare(a->second, b->second, words, level);
        if (!pair) continue;
        pair->sheet = sheet;
        pair->first = a->first;
        pair->second = b->first;
        model.scores.push_back(std::move(*pair));
      }
    for (const IccOver over : {IccOver::kItems, IccOver::kCases})
      model.icc.push_back(IccOf(sheet, scores, over, level));
  }
}

}  // namespace afterscope
