// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/narration/spoken_words.hpp"
#include "metrics/base/result.hpp"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// A stretch of words [begin, end) of a clause and how well it fits, 0 to 1.
struct PhraseHit {
  std::size_t begin = 0, end = 0;
  double fit = 0;
};

// Words that mean something, as a rule file writes them: "side port", "chop*" (any ending), "visco + wash"
// (both, in any order), "visco + !wash", "{visco} + {bag}" (any phrase of a group). Long phrases
// without a star are found in spite of small errors of hearing and spelling, also where one word was heard as
// several.
class Phrase {
 public:
  using Groups = std::map<std::string, std::vector<std::string>>;

  // Fails, naming the phrase, if it is empty, names no known group, or consists of exclusions alone.
  // `by_letter`: as it is written only.
  static Result<Phrase> Parse(std::string_view text, const Groups& groups, bool by_letter = false);

  // The best place of the phrase among the words; empty if it is not there. Of a phrase in parts the place is
  // that of its first part.
  std::optional<PhraseHit> FindIn(const std::vector<SpokenWord>& words) const;

  // What one part asks for.
  struct Wanted {
    struct Word {
      std::string plain;
      bool any_ending = false;
    };
    std::vector<Word> words;
    std::string sound;        // of all words together
    bool any_ending = false;  // of at least one word
  };

 private:
  struct Part {
    std::vector<Wanted> choices;
    bool excluded = false;
  };
  std::vector<Part> parts_;
  bool by_letter_ = false;
};

// The best hit of any of the phrases.
std::optional<PhraseHit> BestHit(const std::vector<Phrase>& phrases, const std::vector<SpokenWord>& words);

}  // namespace afterscope
