// SPDX-License-Identifier: Apache-2.0
#include "annotate/narration/phrase.hpp"

#include "annotate/case/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

constexpr std::size_t kLeastSounds = 4;  // of a phrase that may be spelt otherwise: "ccc" sounds like "k"

// How many errors a phrase of that many sounds may have: with more, short words would be found in others.
int ErrorsAllowed(std::size_t sounds) {
  if (sounds < 6) return 0;
  if (sounds < 11) return 1;
  return sounds < 16 ? 2 : 3;
}

Phrase::Wanted WantedFrom(std::string_view text) {
  Phrase::Wanted wanted;
  for (const std::string& part : SplitText(text, ' ')) {
    const bool any_ending = part.ends_with('*');
    wanted.any_ending = wanted.any_ending || any_ending;
    for (const SpokenWord& word : WordsIn(part)) {
      wanted.words.push_back({word.plain, any_ending});
      wanted.sound += word.sound;
    }
  }
  return wanted;
}

bool IsAt(const Phrase::Wanted& wanted, const std::vector<SpokenWord>& words, std::size_t at) {
  if (at + wanted.words.size() > words.size()) return false;
  for (std::size_t i = 0; i < wanted.words.size(); ++i) {
    const auto& [want, any_ending] = wanted.words[i];
    const std::string& have = words[at + i].plain;
    if (any_ending ? !have.starts_with(want) : have != want) return false;
  }
  return true;
}

std::optional<PhraseHit> FindSounding(const Phrase::Wanted& wanted, const std::vector<SpokenWord>& words) {
  if (wanted.sound.size() < kLeastSounds) return std::nullopt;
  const int allowed = ErrorsAllowed(wanted.sound.size());
  std::optional<PhraseHit> best;
  for (std::size_t begin = 0; begin < words.size(); ++begin) {
    std::string heard;
    for (std::size_t end = begin; end < words.size() && heard.size() <= wanted.sound.size() + 3; ++end) {
      heard += words[end].sound;
      const int errors = SpellingDistance(wanted.sound, heard, allowed);
      if (errors > allowed) continue;
      const double fit = 1 - 0.5 * errors / static_cast<double>(wanted.sound.size());
      if (!best || fit > best->fit) best = PhraseHit{begin, end + 1, fit};
    }
  }
  return best;
}

std::optional<PhraseHit> Find(const Phrase::Wanted& wanted, const std::vector<SpokenWord>& words,
                              bool by_letter) {
  for (std::size_t at = 0; at < words.size(); ++at)
    if (IsAt(wanted, words, at)) return PhraseHit{at, at + wanted.words.size(), 1};
  if (wanted.any_ending || by_letter) return std::nullopt;
  return FindSounding(wanted, words);
}

std::optional<PhraseHit> FindAny(const std::vector<Phrase::Wanted>& choices,
                                 const std::vector<SpokenWord>& words, bool by_letter) {
  std::optional<PhraseHit> best;
  for (const Phrase::Wanted& wanted : choices) {
    const auto hit = Find(wanted, words, by_letter);
    if (hit && (!best || hit->fit > best->fit)) best = hit;
  }
  return best;
}

// The texts between " + ".
std::vector<std::string> PartsOf(std::string_view text) {
  std::vector<std::string> parts;
  while (true) {
    const std::size_t plus = text.find(" + ");
    parts.emplace_back(Trimmed(text.substr(0, plus)));
    if (plus == std::string_view::npos) return parts;
    text.remove_prefix(plus + 3);
  }
}

}  // namespace

Result<Phrase> Phrase::Parse(std::string_view text, const Groups& groups, bool by_letter) {
  Phrase phrase;
  phrase.by_letter_ = by_letter;
  for (std::string words : PartsOf(text)) {
    Part part;
    part.excluded = words.starts_with("!");
    if (part.excluded) words.erase(0, 1);
    if (words.starts_with('{') && words.ends_with('}')) {
      const auto group = groups.find(words.substr(1, words.size() - 2));
      if (group == groups.end())
        return Error{ErrorCode::kUnreadable,
                     fmt::format("the phrase '{}' names a group that is not there", text)};
      for (const std::string& choice : group->second) part.choices.push_back(WantedFrom(choice));
    } else {
      part.choices.push_back(WantedFrom(words));
    }
    const bool empty = std::any_of(part.choices.begin(), part.choices.end(),
                                   [](const Wanted& wanted) { return wanted.words.empty(); });
    if (empty || part.choices.empty())
      return Error{ErrorCode::kUnreadable, fmt::format("the phrase '{}' has a part without words", text)};
    phrase.parts_.push_back(std::move(part));
  }
  if (std::all_of(phrase.parts_.begin(), phrase.parts_.end(), [](const Part& part) { return part.excluded; }))
    return Error{ErrorCode::kUnreadable,
                 fmt::format("the phrase '{}' only says what must not be there", text)};
  return phrase;
}

std::optional<PhraseHit> Phrase::FindIn(const std::vector<SpokenWord>& words) const {
  std::optional<PhraseHit> found;
  for (const Part& part : parts_) {
    const auto hit = FindAny(part.choices, words, by_letter_);
    if (hit.has_value() == part.excluded) return std::nullopt;
    if (!hit) continue;
    if (!found)
      found = hit;
    else
      found->fit = std::min(found->fit, hit->fit);
  }
  return found;
}

std::optional<PhraseHit> BestHit(const std::vector<Phrase>& phrases, const std::vector<SpokenWord>& words) {
  std::optional<PhraseHit> best;
  for (const Phrase& phrase : phrases) {
    const auto hit = phrase.FindIn(words);
    if (hit && (!best || hit->fit > best->fit)) best = hit;
  }
  return best;
}

}  // namespace afterscope
