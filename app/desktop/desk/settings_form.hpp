// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "app/desktop/desk/word_list.hpp"

#include <map>
#include <string>
#include <vector>

namespace afterscope {

// What a settings moment holds, from assets/settings.json.
struct SettingsForm {
  struct Choice {
    std::string key;
    std::string name;
    std::vector<std::string> words;
  };
  struct UsualRange {
    std::string preset;
    std::string key;
    double low = 0;
    double high = 0;
  };
  std::vector<Choice> choices;
  std::vector<WordList::Item> numbers;
  std::vector<WordList::Item> totals;  // read off at the end
  std::vector<UsualRange> usual;       // by preset
  // Which numbers may be typed behind a preset's name, in order: "sculpt 60 90".
  std::map<std::string, std::vector<std::string>> typed;

  std::vector<std::string> Presets() const;
};

Result<SettingsForm> LoadSettingsForm(const std::string& path);

// The words that begin with what was typed, in their own order: "tor bu" of (torsional, burst) gives
// "torsional, burst". What begins none of them is kept as typed.
std::string CompletedWords(const std::string& typed, const std::vector<std::string>& words);

// A preset as it is typed, and the numbers behind it by their keys. Numbers count only behind a known preset:
// "own 2" is a name.
struct TypedPreset {
  std::string preset;
  std::map<std::string, std::string> numbers;
};
TypedPreset PresetAndNumbers(const SettingsForm& form, const std::string& typed);

// What is odd about a typed number, in one sentence: no number, outside what the machine can do, or outside
// what is usual for the preset. Empty: nothing. Nothing is refused.
std::string OddSetting(const SettingsForm& form, const std::string& preset, const WordList::Item& item,
                       const std::string& typed);

// The settings of the last moment with that preset; empty where there is none.
std::map<std::string, std::string> SettingsOfPreset(const Review& review, const std::string& preset);

// The moment in words: "sculpt, torsional, Power 60 %, Vacuum 90 mmHg".
std::string SettingsWords(const SettingsForm& form, const std::string& preset,
                          const std::map<std::string, std::string>& fields);

}  // namespace afterscope
