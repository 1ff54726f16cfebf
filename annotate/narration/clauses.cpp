// SPDX-License-Identifier: Apache-2.0
#include "annotate/narration/clauses.hpp"

#include "annotate/case/text.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr double kLongestOpenCue = 30;  // seconds
constexpr double kLastOpenCue = 5;

double EndOf(const std::vector<Cue>& cues, std::size_t i) {
  const bool last = i + 1 == cues.size();
  const double end = cues[i].end.value_or(cues[i].start + (last ? kLastOpenCue : kLongestOpenCue));
  if (last) return end;
  const double next = cues[i + 1].start;
  return next > cues[i].start ? std::min(end, next) : end;
}

bool EndsSentence(std::string_view between) {
  return between.find_first_of(".;!?:") != std::string_view::npos;
}
bool EndsClause(std::string_view between) { return between.find(',') != std::string_view::npos; }

}  // namespace

std::vector<Clause> ClausesOf(const std::vector<Cue>& cues, const NarrationRules& rules) {
  std::vector<Clause> clauses;
  for (std::size_t i = 0; i < cues.size(); ++i) {
    const std::string& text = cues[i].text;
    const std::vector<SpokenWord> words = WordsIn(text);
    const double end = EndOf(cues, i);
    const auto time_at = [&](std::size_t byte) {
      return cues[i].start +
             (end - cues[i].start) * static_cast<double>(byte) / static_cast<double>(text.size());
    };
    const auto before = [&](std::size_t word) {
      const std::size_t gap = words[word - 1].end;
      return std::string_view(text).substr(gap, words[word].begin - gap);
    };
    const auto cut_before = [&](std::size_t word) {
      return EndsSentence(before(word)) || EndsClause(before(word)) ||
             std::find(rules.clause_starts.begin(), rules.clause_starts.end(), words[word].plain) !=
                 rules.clause_starts.end();
    };
    for (std::size_t first = 0; first < words.size();) {
      std::size_t last = first + 1;
      while (last < words.size() && !cut_before(last)) ++last;
      const std::size_t from = words[first].begin;
      const std::size_t to = last < words.size() ? words[last].begin : text.size();
      Clause clause{time_at(first == 0 ? 0 : from),
                    time_at(to),
                    i,
                    first == 0 || EndsSentence(before(first)),
                    std::string(Trimmed(text.substr(from, to - from))),
                    {}};
      for (std::size_t word = first; word < last; ++word) {
        clause.words.push_back(words[word]);
        clause.words.back().begin -= from;
        clause.words.back().end -= from;
      }
      clauses.push_back(std::move(clause));
      first = last;
    }
  }
  bool elsewhere = false;
  for (Clause& clause : clauses) {
    clause.begins = BestHit(rules.begins, clause.words).has_value();
    elsewhere =
        BestHit(rules.elsewhere, clause.words) || (elsewhere && !clause.opens_sentence && !clause.begins);
    clause.elsewhere = elsewhere;
    clause.supposed = BestHit(rules.supposed, clause.words).has_value();
  }
  return clauses;
}

}  // namespace afterscope
