// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/scores/score_walk.hpp"

#include "annotate/case/text.hpp"
#include "annotate/case/visits.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {

std::string ValueOfDigit(const ScoreItem& item, char digit) {
  if (digit == '0') return item.may_not_apply ? "na" : "";
  const auto place = static_cast<std::size_t>(digit - '1');
  if (digit < '1' || digit > '9' || place >= item.levels.size()) return {};
  return TextFrom(item.levels[place].value);
}

int DigitOfLevel(const ScoreItem& item, std::size_t level) {
  return level < 9 && level < item.levels.size() ? static_cast<int>(level) + 1 : 0;
}

std::string ScoreText(const Score* score) {
  if (score == nullptr) return "–";
  return score->value ? TextFrom(*score->value) : "na";
}

std::string SumWords(const ScoreSum& sum) {
  std::string words = fmt::format("{} of {} scored", sum.scored + sum.not_applicable, sum.items);
  if (sum.percent)
    words += fmt::format("; {} of {} ({:.0f} %)", TextFrom(sum.sum), TextFrom(sum.most), *sum.percent);
  if (sum.passed) words += *sum.passed ? "; passed" : "; not passed";
  return words;
}

Score WithMoment(Score score, const MomentId& moment) {
  const auto found = std::find(score.moments.begin(), score.moments.end(), moment);
  if (found == score.moments.end())
    score.moments.push_back(moment);
  else
    score.moments.erase(found);
  return score;
}

const Moment* MomentOnFrame(const Review& review, FrameRef at) {
  const Moment* here = nullptr;
  for (const Moment& moment : review.moments)
    if (moment.at == at) here = &moment;
  return here;
}

std::optional<FrameRef> StepOfItem(const Review& review, const ScoreItem& item, FrameRef at) {
  const StepVisit* running = RunningVisit(review, at);
  if (item.step.empty() || (running != nullptr && running->step == item.step)) return std::nullopt;
  std::optional<FrameRef> start;
  for (const StepVisit& visit : review.visits)
    if (visit.lane == 0 && visit.step == item.step && (!start || visit.start < at)) start = visit.start;
  return start;
}

}  // namespace afterscope
