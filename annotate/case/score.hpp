// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/ids.hpp"

#include <compare>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Which item of which score sheet: both keys as IsValidIdText wants them. A review has one score of it.
struct ScoreId {
  std::string sheet;
  std::string item;
  friend auto operator<=>(const ScoreId&, const ScoreId&) = default;
};

// What a reviewer gave one item of a score sheet.
struct Score {
  ScoreId id;
  std::optional<double> value;  // empty: not applicable
  std::string remark;
  std::vector<MomentId> moments;  // the evidence; those that are gone are passed over
  friend bool operator==(const Score&, const Score&) = default;
};

// What became of the drill that was agreed in an earlier case.
enum class GoalOutcome { kNotSaid, kMet, kPartlyMet, kNotMet };

}  // namespace afterscope
