// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/review_differences.hpp"

#include "annotate/case/text.hpp"
#include "annotate/case/visits.hpp"
#include "annotate/case/words.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

namespace afterscope {
namespace {

struct Stretch {
  FrameRef at;
  double start = 0;  // seconds on the case clock
  double end = 0;
  double length() const { return end - start; }
};

using Visits = std::map<std::string, std::vector<Stretch>>;

Visits VisitsByStep(const Review& review, const CaseClock& clock) {
  Visits visits;
  for (const StepVisit& visit : review.visits)
    if (visit.lane == 0)
      visits[visit.step].push_back(
          {visit.start, clock.Seconds(visit.start), clock.Seconds(EndOf(review, visit, clock.end()))});
  return visits;
}

std::map<std::string, std::vector<FrameRef>> Complications(const Review& review) {
  std::map<std::string, std::vector<FrameRef>> found;
  for (const Moment& moment : review.moments)
    if (moment.kind == MomentKind::kComplication) found[moment.key].push_back(moment.at);
  return found;
}

template <class Map>
std::set<std::string> KeysOf(const Map& first, const Map& second) {
  std::set<std::string> keys;
  for (const auto& [key, value] : first) keys.insert(key);
  for (const auto& [key, value] : second) keys.insert(key);
  return keys;
}

// Calls `each(first, second)` with the items of a key one by one; null where one has fewer.
template <class Map, class Each>
void ForPairs(const Map& first, const Map& second, const std::string& key, const Each& each) {
  static const typename Map::mapped_type kNone;
  const auto list = [&](const Map& map) -> const typename Map::mapped_type& {
    const auto found = map.find(key);
    return found == map.end() ? kNone : found->second;
  };
  const auto& a = list(first);
  const auto& b = list(second);
  for (std::size_t i = 0; i < std::max(a.size(), b.size()); ++i)
    each(i < a.size() ? &a[i] : nullptr, i < b.size() ? &b[i] : nullptr);
}

void AddSteps(const Visits& first, const Visits& second, double tolerance_s,
              std::vector<ReviewDifference>& out) {
  std::vector<std::pair<double, ReviewDifference>> found;
  for (const std::string& step : KeysOf(first, second))
    ForPairs(first, second, step, [&](const Stretch* a, const Stretch* b) {
      if (a && b && std::abs(a->start - b->start) <= tolerance_s && std::abs(a->end - b->end) <= tolerance_s)
        return;
      ReviewDifference difference;
      difference.key = step;
      if (a) difference.first_at = a->at, difference.first_seconds = a->length();
      if (b) difference.second_at = b->at, difference.second_seconds = b->length();
      found.emplace_back(a ? a->start : b->start, std::move(difference));
    });
  std::stable_sort(found.begin(), found.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  for (auto& [start, difference] : found) out.push_back(std::move(difference));
}

void AddChecks(const Review& first, const Review& second, std::vector<ReviewDifference>& out) {
  const auto state = [](const Review& review, const std::string& key) {
    const auto found = review.checks.find(key);
    return std::string(WordOf(found == review.checks.end() ? CheckState::kNotReviewed : found->second));
  };
  for (const std::string& key : KeysOf(first.checks, second.checks))
    if (state(first, key) != state(second, key))
      out.push_back({DifferenceKind::kCheck, key, {}, {}, 0, 0, state(first, key), state(second, key)});
}

void AddComplications(const Review& first, const Review& second, std::vector<ReviewDifference>& out) {
  const auto a = Complications(first);
  const auto b = Complications(second);
  for (const std::string& key : KeysOf(a, b))
    ForPairs(a, b, key, [&](const FrameRef* one, const FrameRef* other) {
      if (one && other) return;
      ReviewDifference difference{DifferenceKind::kComplication, key, {}, {}, 0, 0, "", ""};
      if (one) difference.first_at = *one;
      if (other) difference.second_at = *other;
      out.push_back(std::move(difference));
    });
}

// The moments of `review` that have none of their kind near them in `other`, in order.
std::vector<const Moment*> Alone(const Review& review, const Review& other, const CaseClock& clock) {
  std::vector<const Moment*> alone;
  std::set<std::string> taken;
  for (const Moment& moment : review.moments) {
    if (moment.kind == MomentKind::kComplication || moment.kind == MomentKind::kCheck) continue;
    const auto like = std::find_if(other.moments.begin(), other.moments.end(), [&](const Moment& o) {
      return o.kind == moment.kind && !taken.contains(o.id.value) &&
             std::abs(clock.Seconds(o.at) - clock.Seconds(moment.at)) <= kSameMomentSeconds;
    });
    if (like == other.moments.end())
      alone.push_back(&moment);
    else
      taken.insert(like->id.value);
  }
  return alone;
}

void AddMoments(const Review& first, const Review& second, const CaseClock& clock,
                std::vector<ReviewDifference>& out) {
  std::vector<std::pair<const Moment*, bool>> found;  // whether it is the first one's
  for (const Moment* moment : Alone(first, second, clock)) found.emplace_back(moment, true);
  for (const Moment* moment : Alone(second, first, clock)) found.emplace_back(moment, false);
  std::stable_sort(found.begin(), found.end(),
                   [](const auto& a, const auto& b) { return a.first->at < b.first->at; });
  for (const auto& [moment, is_first] : found) {
    ReviewDifference difference;
    difference.kind = DifferenceKind::kMoment;
    difference.key = WordOf(moment->kind);
    (is_first ? difference.first_at : difference.second_at) = moment->at;
    (is_first ? difference.first_says : difference.second_says) =
        moment->text.empty() ? moment->key : moment->text;
    out.push_back(std::move(difference));
  }
}

// Where each thing that was drawn is seen first.
std::map<std::string, FrameRef> DrawnThings(const Review& review) {
  std::map<std::string, FrameRef> drawn;
  for (const Mark& mark : review.marks) {
    if (mark.kind == MarkKind::kCover) continue;
    std::string key(WordOf(mark.kind));
    if (const auto stage = mark.fields.find("stage"); stage != mark.fields.end()) key += ", " + stage->second;
    drawn.emplace(std::move(key), mark.at);
  }
  return drawn;
}

void AddMarks(const Review& first, const Review& second, std::vector<ReviewDifference>& out) {
  const auto a = DrawnThings(first);
  const auto b = DrawnThings(second);
  for (const std::string& key : KeysOf(a, b)) {
    if (a.contains(key) && b.contains(key)) continue;
    ReviewDifference difference;
    difference.kind = DifferenceKind::kMark;
    difference.key = key;
    if (a.contains(key)) difference.first_at = a.at(key);
    if (b.contains(key)) difference.second_at = b.at(key);
    out.push_back(std::move(difference));
  }
}

std::map<std::string, std::string> ScoreTexts(const Review& review) {
  std::map<std::string, std::string> texts;
  for (const Score& score : review.scores)
    texts[score.id.sheet + ": " + score.id.item] = score.value ? TextFrom(*score.value) : "not applicable";
  return texts;
}

void AddScores(const Review& first, const Review& second, std::vector<ReviewDifference>& out) {
  const auto a = ScoreTexts(first);
  const auto b = ScoreTexts(second);
  const auto text = [](const std::map<std::string, std::string>& texts, const std::string& key) {
    const auto found = texts.find(key);
    return found == texts.end() ? std::string("not scored") : found->second;
  };
  for (const std::string& key : KeysOf(a, b))
    if (text(a, key) != text(b, key))
      out.push_back({DifferenceKind::kScore, key, {}, {}, 0, 0, text(a, key), text(b, key)});
}

void AddWords(const char* key, const std::string& first, const std::string& second,
              std::vector<ReviewDifference>& out) {
  if (Trimmed(first) != Trimmed(second))
    out.push_back({DifferenceKind::kWords, key, {}, {}, 0, 0, first, second});
}

}  // namespace

std::vector<ReviewDifference> DifferencesBetween(const Review& first, const Review& second,
                                                 const CaseClock& clock, double tolerance_s) {
  std::vector<ReviewDifference> out;
  AddSteps(VisitsByStep(first, clock), VisitsByStep(second, clock), tolerance_s, out);
  AddChecks(first, second, out);
  AddComplications(first, second, out);
  AddMoments(first, second, clock, out);
  AddMarks(first, second, out);
  AddScores(first, second, out);
  AddWords("strengths", JoinText(first.assessment.strengths, "\n"),
           JoinText(second.assessment.strengths, "\n"), out);
  AddWords("change", first.assessment.change, second.assessment.change, out);
  AddWords("drill", first.assessment.drill, second.assessment.drill, out);
  return out;
}

}  // namespace afterscope
