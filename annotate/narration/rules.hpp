// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/narration/phrase.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <map>
#include <string>
#include <vector>

namespace afterscope {

// What the words of one language say about an operation: a file in ASSETS/narration (en.json tells the form).
struct NarrationRules {
  struct StepWords {
    std::vector<Phrase> strong;   // the step itself
    std::vector<Phrase> weak;     // fits it, and others
    std::vector<Phrase> against;  // the clause speaks of something else
  };
  struct FollowUpWords {
    std::vector<std::string> after, range, one;  // plain words; `one`: "a" week
    std::map<std::string, double> days_of_word;  // of a word that says when by itself: "tomorrow"
    std::map<std::string, double> days;          // of a unit of time
    std::vector<Phrase> wanted;
  };
  using Named = std::map<std::string, std::vector<Phrase>>;

  std::string language;                    // id, as in BCP 47: "en"
  std::vector<std::string> common_words;   // plain words by which the language is told
  std::vector<std::string> clause_starts;  // plain words that begin a new clause
  std::vector<Phrase> begins, ends, elsewhere, supposed, negations, teaching;
  std::map<std::string, StepWords> steps;  // by step key
  std::map<std::string, double> usual_s;   // how long a step usually takes, by step key, in seconds
  std::vector<std::string> unlisted;  // keys of steps that may be going on though the list leaves them out
  std::map<std::string, double> numbers;  // number words
  std::vector<std::string> decimal_words, joining_words;
  Named settings;                              // by field of a settings moment
  std::map<std::string, Named> setting_words;  // field, then word of the field
  std::map<std::string, std::string> presets;  // step key to preset
  Named complications, checks, instruments;
  Named checks_in_step;  // what says so while the step of the check goes on, and means other things elsewhere
  FollowUpWords follow_up;
};

// Fails with one sentence that names the file and what is wrong in it.
Result<NarrationRules> LoadNarrationRules(const std::string& path, FileSystem& files = RealFileSystem());

// All rule files of a folder, in order of their names.
Result<std::vector<NarrationRules>> LoadAllNarrationRules(const std::string& folder,
                                                          FileSystem& files = RealFileSystem());

// The rules whose common words the text uses most; the first where none is used. `all` must not be empty.
const NarrationRules& RulesForText(const std::vector<NarrationRules>& all, std::string_view text);

}  // namespace afterscope
