// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// One value of an item's scale and what it means.
struct ScoreLevel {
  double value = 0;
  std::string name;
  std::string description;
};

struct ScoreItem {
  std::string key;
  std::string name;
  std::string group;               // key of a group of the sheet; empty: none
  std::string step;                // that it is about; empty: the whole operation
  std::vector<ScoreLevel> levels;  // in order of value, at least two
  double weight = 1;               // of its score in sums
  bool may_not_apply = true;
  bool needs_moment = false;  // a score without a moment as evidence can't be signed

  double Least() const { return levels.front().value; }
  double Most() const { return levels.back().value; }
  const ScoreLevel* Find(double value) const;
};

struct ScoreGroup {
  std::string key;
  std::string name;
};

// A rating form; a file in assets/score_sheets, or the user's own.
struct ScoreSheet {
  std::string id;
  std::string name;
  std::string about;
  std::vector<ScoreGroup> groups;
  std::vector<ScoreItem> items;
  std::optional<double>
      not_applicable;  // the value that the sheet itself uses for "not applicable", such as 0
  std::optional<double> pass_percent;

  const ScoreItem* Find(const std::string& key) const;
};

// The score of that item, or null.
const Score* FindScore(const std::vector<Score>& scores, const std::string& sheet, const std::string& item);

// A score for an item from a text: one of its values, or "na" (or the sheet's own value for it). Refuses a
// value that the item does not have, and "not applicable" where the item always applies.
Result<Score> MakeScore(const ScoreSheet& sheet, const std::string& item, const std::string& value);

struct ScoreSum {
  int items = 0;
  int scored = 0;
  int not_applicable = 0;         // they enter neither sum nor percent
  int missing = 0;                // neither scored nor said not to apply, or scored what is no level
  double sum = 0;                 // of value times weight
  double most = 0;                // what the scored items could have reached
  std::optional<double> mean;     // of the values, by weight
  std::optional<double> percent;  // of `most`; none where nothing was scored or `most` is not above 0
  std::optional<bool> passed;     // where the sheet has a pass mark and nothing is missing
};

// Of one group, or with an empty key of the whole sheet. Scores of items that the sheet does not have are
// passed over.
ScoreSum SumScores(const ScoreSheet& sheet, const std::vector<Score>& scores, const std::string& group = "");

// What keeps a review from being signed: items without a score, scores without the moment that they need. One
// sentence each.
std::vector<std::string> UnfinishedScores(const ScoreSheet& sheet, const std::vector<Score>& scores,
                                          const Review& review);

}  // namespace afterscope
