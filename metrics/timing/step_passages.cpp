// SPDX-License-Identifier: Apache-2.0
#include "metrics/timing/step_passages.hpp"

#include <algorithm>
#include <map>
#include <utility>

namespace afterscope {
namespace {

struct Seen {
  int count = 0;
  std::vector<double> gaps;
};
using SeenPassages = std::map<std::pair<std::string, std::string>, Seen>;

void Note(const std::vector<TimedVisit>& parts, SeenPassages& seen) {
  const std::vector<JoinedVisit> visits = JoinedVisits(parts);
  if (visits.empty()) return;
  ++seen[{"", visits.front().step}].count;
  ++seen[{visits.back().step, ""}].count;
  for (std::size_t i = 1; i < visits.size(); ++i) {
    Seen& passage = seen[{visits[i - 1].step, visits[i].step}];
    ++passage.count;
    passage.gaps.push_back(visits[i].seconds.start - visits[i - 1].seconds.end);
  }
}

}  // namespace

std::vector<StepPassage> PassagesBetween(const std::vector<std::vector<TimedVisit>>& operations) {
  SeenPassages seen;
  for (const std::vector<TimedVisit>& parts : operations) Note(parts, seen);
  std::map<std::string, int> leavings;
  for (const auto& [pair, passage] : seen) leavings[pair.first] += passage.count;
  std::vector<StepPassage> passages;
  for (const auto& [pair, passage] : seen) {
    StepPassage out{pair.first, pair.second, passage.count, 0, std::nullopt};
    out.share = static_cast<double>(passage.count) / leavings[pair.first];
    if (const auto quartiles = QuartilesOf(passage.gaps); quartiles.ok()) out.gap_s = *quartiles;
    passages.push_back(std::move(out));
  }
  std::stable_sort(passages.begin(), passages.end(), [](const StepPassage& a, const StepPassage& b) {
    return a.from != b.from ? a.from < b.from : a.count > b.count;
  });
  return passages;
}

}  // namespace afterscope
