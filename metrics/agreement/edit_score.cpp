// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/edit_score.hpp"

#include "metrics/series/checks.hpp"

#include <algorithm>
#include <numeric>
#include <vector>

namespace afterscope {
namespace {

std::size_t Distance(const std::vector<LabelledSpan>& a, const std::vector<LabelledSpan>& b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t renamed = diagonal + (a[i - 1].label != b[j - 1].label);
      diagonal = row[j];
      row[j] = std::min({renamed, row[j] + 1, row[j - 1] + 1});
    }
  }
  return row.back();
}

}  // namespace

Result<EditScore> EditScoreOf(std::span<const LabelledSpan> a, std::span<const LabelledSpan> b) {
  AFTERSCOPE_TRY(CheckTimeline(a));
  AFTERSCOPE_TRY(CheckTimeline(b));
  const std::vector<LabelledSpan> runs_a = JoinedRuns(a);
  const std::vector<LabelledSpan> runs_b = JoinedRuns(b);
  EditScore out;
  out.longest = std::max(runs_a.size(), runs_b.size());
  if (out.longest == 0) return NotComputable("The edit score", "neither reviewer tagged a step");
  out.distance = Distance(runs_a, runs_b);
  out.score = 1 - static_cast<double>(out.distance) / static_cast<double>(out.longest);
  return out;
}

}  // namespace afterscope
