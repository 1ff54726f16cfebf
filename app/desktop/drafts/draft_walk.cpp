// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/drafts/draft_walk.hpp"

#include "annotate/case/words.hpp"
#include "app/desktop/look/clock_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

namespace afterscope {
namespace {

std::vector<DraftId> OpenOf(const Review& review) {
  std::vector<DraftId> open;
  for (const Draft& draft : review.drafts)
    if (draft.state == DraftState::kOpen) open.push_back(draft.id);
  return open;
}

bool Holds(const std::vector<DraftId>& ids, const DraftId& id) {
  return std::find(ids.begin(), ids.end(), id) != ids.end();
}

// Of those that are open now, the next after the one that was before the eyes.
std::optional<DraftId> NextAfter(const DraftWalk& walk, const std::vector<DraftId>& open) {
  if (open.empty()) return std::nullopt;
  const auto was = walk.at ? std::find(walk.open.begin(), walk.open.end(), *walk.at) : walk.open.end();
  const auto next = std::find_if(was, walk.open.end(), [&](const DraftId& id) { return Holds(open, id); });
  return next == walk.open.end() ? open.front() : *next;
}

std::string KeyWords(std::string key) {
  std::replace(key.begin(), key.end(), '_', ' ');
  return key;
}

std::string Capital(std::string word) {
  if (!word.empty()) word[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(word[0])));
  return word;
}

std::string NameOf(const Draft& draft, const StepList& steps) {
  if (draft.kind == DraftKind::kStep) return steps.NameOf(draft.key);
  if (draft.kind == DraftKind::kCheck)
    for (const CheckKind& check : steps.checks)
      if (check.key == draft.key) return check.name;
  return KeyWords(draft.key);
}

}  // namespace

bool FollowDrafts(DraftWalk& walk, const Review& review) {
  std::vector<DraftId> open = OpenOf(review);
  if (open == walk.open) return false;
  const auto fresh =
      std::find_if(open.begin(), open.end(), [&](const DraftId& id) { return !Holds(walk.open, id); });
  const std::optional<DraftId> before = walk.at;
  if (fresh != open.end())
    walk.at = *fresh;
  else if (!walk.at || !Holds(open, *walk.at))
    walk.at = NextAfter(walk, open);
  walk.open = std::move(open);
  return walk.at != before && walk.at.has_value();
}

void MoveAlong(DraftWalk& walk, int direction) {
  if (walk.open.empty()) return;
  const auto count = static_cast<std::ptrdiff_t>(walk.open.size());
  const auto at = walk.at ? std::find(walk.open.begin(), walk.open.end(), *walk.at) : walk.open.begin();
  const std::ptrdiff_t place = (at - walk.open.begin() + direction + count) % count;
  walk.at = walk.open[static_cast<std::size_t>(place)];
}

const Draft* DraftOf(const Review& review, const std::optional<DraftId>& id) {
  if (!id) return nullptr;
  const auto found = std::find_if(review.drafts.begin(), review.drafts.end(),
                                  [&](const Draft& draft) { return draft.id == *id; });
  return found == review.drafts.end() ? nullptr : &*found;
}

int CountDrafts(const Review& review, DraftState state) {
  return static_cast<int>(std::count_if(review.drafts.begin(), review.drafts.end(),
                                        [&](const Draft& draft) { return draft.state == state; }));
}

std::string DraftTitle(const Draft& draft, const StepList& steps) {
  const std::string kind = Capital(std::string(WordOf(draft.kind)));
  const std::string name = NameOf(draft, steps);
  return name.empty() ? kind : kind + ": " + name;
}

std::string DraftTimes(const Draft& draft, const CaseClock& clock) {
  const std::string start = ClockText(clock.Seconds(draft.start), 1);
  return draft.end ? start + " – " + ClockText(clock.Seconds(*draft.end), 1) : start;
}

std::string SureWords(double confidence) {
  const char* words = confidence >= 0.75 ? "quite sure" : confidence >= 0.45 ? "likely" : "unsure";
  return fmt::format("{}, {:.0f} %", words, confidence * 100);
}

std::pair<FrameRef, std::optional<FrameRef>> MovedTo(const Draft& draft, FrameRef to,
                                                     const CaseClock& clock) {
  if (!draft.end) return {to, std::nullopt};
  const double length = clock.Seconds(*draft.end) - clock.Seconds(draft.start);
  const double end = std::min(clock.Seconds(to) + length, clock.TotalSeconds());
  const FrameRef end_at = end >= clock.TotalSeconds() ? clock.end() : clock.At(end);
  return {to, to < end_at ? std::optional(end_at) : std::nullopt};
}

}  // namespace afterscope
