// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/exchange/timed_text.hpp"
#include "annotate/narration/rules.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A part of what was said that is about one thing.
struct Clause {
  double start = 0, end = 0;  // seconds; a cue's time is shared among its clauses by their letters
  std::size_t cue = 0;
  bool opens_sentence = true;
  std::string text;
  std::vector<SpokenWord> words;  // never empty
  bool begins = false;            // says that something begins now
  bool elsewhere =
      false;  // speaks of another time or case; so does what follows in the sentence, until one begins
  bool supposed = false;  // speaks of what might be, or is not done here
};

// Cuts cues at full stops, question and exclamation marks, semicolons, commas, and before words that begin
// something new. A cue without an end lasts to the next one, at most half a minute; one that runs into the
// next ends there.
std::vector<Clause> ClausesOf(const std::vector<Cue>& cues, const NarrationRules& rules);

}  // namespace afterscope
