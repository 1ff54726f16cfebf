// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// One word as it was said.
struct SpokenWord {
  std::string plain;  // lower case, accents taken off: "viscoelastico"
  std::string sound;  // how it sounds, roughly: letters that sound alike are one letter, doubles are single
  std::size_t begin = 0, end = 0;  // its bytes in the text
};

// The words of a text in order: letters and digits; a point or comma between digits stays ("2.8"), a slash
// between letters is dropped ("I/A" is "ia"). Bytes that are not UTF-8 separate words.
std::vector<SpokenWord> WordsIn(std::string_view text);

// How a plain word sounds: recognisers of speech confuse what sounds alike. "rhexis" and "rexis" give the
// same, "keratome" and "ceratome" too. Digits stay.
std::string SoundOf(std::string_view plain);

// Least number of letters put in, left out, exchanged, or swapped with their neighbour that makes one text of
// the other (optimal string alignment distance), or `most` + 1 where it is more than `most`.
int SpellingDistance(std::string_view a, std::string_view b, int most);

inline bool IsOneOf(const std::vector<std::string>& list, const std::string& word) {
  return std::find(list.begin(), list.end(), word) != list.end();
}

}  // namespace afterscope
