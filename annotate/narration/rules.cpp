// SPDX-License-Identifier: Apache-2.0
#include "annotate/narration/rules.hpp"

#include "annotate/store/json_reader.hpp"
#include "annotate/store/json_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kMostRulesBytes = 4 << 20;

// Reads phrases; the first that is wrong is the problem.
class PhraseReader {
 public:
  PhraseReader(const Phrase::Groups& groups, std::string& problem) : groups_(groups), problem_(problem) {}

  std::vector<Phrase> Read(const JsonReader& reader, const char* name, bool by_letter = false) const {
    const Json* list = reader.Member(name);
    return list ? From(*list, name, by_letter) : std::vector<Phrase>{};
  }

  NarrationRules::Named ReadNamed(const JsonReader& reader, const char* name, bool by_letter = false) const {
    const Json* object = reader.Member(name);
    return object ? NamedFrom(*object, name, by_letter) : NarrationRules::Named{};
  }

  NarrationRules::Named NamedFrom(const Json& object, const std::string& name, bool by_letter = false) const {
    NarrationRules::Named named;
    if (!object.is_object()) Fail(name + " that is not an object");
    if (object.is_object())
      for (const auto& [key, list] : object.items()) named[key] = From(list, key, by_letter);
    return named;
  }

 private:
  std::vector<Phrase> From(const Json& list, const std::string& name, bool by_letter = false) const {
    std::vector<Phrase> phrases;
    if (!list.is_array()) Fail(name + " that is not a list of phrases");
    for (const Json& item : list.is_array() ? list : Json::array()) {
      if (!item.is_string()) {
        Fail("something other than a phrase in " + name);
        continue;
      }
      auto phrase = Phrase::Parse(item.get<std::string>(), groups_, by_letter);
      if (phrase.ok())
        phrases.push_back(std::move(*phrase));
      else
        Fail(phrase.error().message);
    }
    return phrases;
  }

  void Fail(const std::string& problem) const {
    if (problem_.empty()) problem_ = problem;
  }

  const Phrase::Groups& groups_;
  std::string& problem_;
};

std::map<std::string, double> ReadNumbers(JsonReader& reader, const char* name) {
  std::map<std::string, double> numbers;
  const Json* object = reader.Member(name);
  if (!object) return numbers;
  if (!object->is_object()) {
    reader.Fail(name, "something other than an object");
    return numbers;
  }
  for (const auto& [word, value] : object->items()) {
    if (value.is_number())
      numbers[word] = value.get<double>();
    else
      reader.Fail(name, "something other than a number");
  }
  return numbers;
}

Phrase::Groups ReadGroups(JsonReader& reader, std::string& problem) {
  Phrase::Groups groups;
  const Json* object = reader.Member("groups");
  if (!object || !object->is_object()) return groups;
  for (const auto& item : object->items()) {
    JsonReader inner(*object, "a group", problem);
    inner.Read(item.key().c_str(), groups[item.key()]);
  }
  return groups;
}

NarrationRules RulesFrom(const Json& json, std::string& problem) {
  NarrationRules rules;
  JsonReader reader(json, "the rules", problem);
  const Phrase::Groups groups = ReadGroups(reader, problem);
  const PhraseReader phrases(groups, problem);
  reader.Read("id", rules.language);
  reader.Read("common_words", rules.common_words);
  reader.Read("clause_starts", rules.clause_starts);
  rules.begins = phrases.Read(reader, "begins", true);
  rules.ends = phrases.Read(reader, "ends", true);
  rules.elsewhere = phrases.Read(reader, "elsewhere", true);
  rules.supposed = phrases.Read(reader, "supposed", true);
  rules.negations = phrases.Read(reader, "negations", true);
  rules.teaching = phrases.Read(reader, "teaching");
  if (const Json* steps = reader.Member("steps"); steps && steps->is_object())
    for (const auto& [key, step] : steps->items()) {
      const JsonReader words(step, "step " + key, problem);
      rules.steps[key] = {phrases.Read(words, "strong"), phrases.Read(words, "weak", true),
                          phrases.Read(words, "not", true)};
    }
  rules.usual_s = ReadNumbers(reader, "usual_seconds");
  reader.Read("unlisted", rules.unlisted);
  rules.numbers = ReadNumbers(reader, "numbers");
  reader.Read("decimal_words", rules.decimal_words);
  reader.Read("joining_words", rules.joining_words);
  rules.settings = phrases.ReadNamed(reader, "settings");
  if (const Json* words = reader.Member("setting_words"); words && words->is_object())
    for (const auto& [field, named] : words->items())
      rules.setting_words[field] = phrases.NamedFrom(named, field);
  reader.Read("presets", rules.presets);
  rules.complications = phrases.ReadNamed(reader, "complications", true);
  rules.checks = phrases.ReadNamed(reader, "checks");
  rules.checks_in_step = phrases.ReadNamed(reader, "checks_in_step", true);
  rules.instruments = phrases.ReadNamed(reader, "instruments", true);
  if (const Json* follow_up = reader.Member("follow_up")) {
    JsonReader words(*follow_up, "follow_up", problem);
    words.Read("after", rules.follow_up.after);
    words.Read("range", rules.follow_up.range);
    words.Read("one", rules.follow_up.one);
    rules.follow_up.days_of_word = ReadNumbers(words, "words");
    rules.follow_up.days = ReadNumbers(words, "units");
    rules.follow_up.wanted = phrases.Read(words, "wanted");
  }
  if (problem.empty() && rules.language.empty()) problem = "no 'id'";
  return rules;
}

}  // namespace

Result<NarrationRules> LoadNarrationRules(const std::string& path, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const std::string text, files.ReadAll(path, kMostRulesBytes));
  AFTERSCOPE_ASSIGN(const Json json, ParseJson(text, fmt::format("'{}'", path)));
  std::string problem;
  if (!json.is_object()) problem = "something other than an object";
  NarrationRules rules;
  if (problem.empty()) rules = RulesFrom(json, problem);
  if (!problem.empty())
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't read the narration rules '{}': {}.", path, problem)};
  return rules;
}

Result<std::vector<NarrationRules>> LoadAllNarrationRules(const std::string& folder, FileSystem& files) {
  AFTERSCOPE_ASSIGN(std::vector<std::string> names, files.List(folder));
  std::sort(names.begin(), names.end());
  std::vector<NarrationRules> all;
  for (const std::string& name : names) {
    if (!name.ends_with(".json")) continue;
    AFTERSCOPE_ASSIGN(NarrationRules rules, LoadNarrationRules(fmt::format("{}/{}", folder, name), files));
    all.push_back(std::move(rules));
  }
  if (all.empty())
    return Error{ErrorCode::kUnreadable, fmt::format("There are no narration rules in '{}'.", folder)};
  return all;
}

const NarrationRules& RulesForText(const std::vector<NarrationRules>& all, std::string_view text) {
  const std::vector<SpokenWord> words = WordsIn(text);
  const auto used = [&](const NarrationRules& rules) {
    return std::count_if(words.begin(), words.end(), [&](const SpokenWord& word) {
      return std::find(rules.common_words.begin(), rules.common_words.end(), word.plain) !=
             rules.common_words.end();
    });
  };
  return *std::max_element(all.begin(), all.end(),
                           [&](const auto& a, const auto& b) { return used(a) < used(b); });
}

}  // namespace afterscope
