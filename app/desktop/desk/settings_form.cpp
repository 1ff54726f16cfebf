// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/settings_form.hpp"

#include "annotate/case/text.hpp"
#include "annotate/store/file_system.hpp"
#include "app/desktop/desk/text_in.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::int64_t kMostFormBytes = 1 << 20;

using Json = nlohmann::json;

// The objects of an array member; none where it is something else.
std::vector<Json> ObjectsIn(const Json& json, const char* member) {
  std::vector<Json> objects;
  const auto found = json.find(member);
  if (found == json.end() || !found->is_array()) return objects;
  for (const Json& entry : *found)
    if (entry.is_object()) objects.push_back(entry);
  return objects;
}

void AddWords(std::string& to, const std::string& words) {
  if (words.empty()) return;
  if (!to.empty()) to += ", ";
  to += words;
}

std::string FieldIn(const std::map<std::string, std::string>& fields, const std::string& key) {
  const auto found = fields.find(key);
  return found == fields.end() ? std::string() : found->second;
}

}  // namespace

std::vector<std::string> SettingsForm::Presets() const {
  std::vector<std::string> presets;
  for (const UsualRange& range : usual)
    if (std::find(presets.begin(), presets.end(), range.preset) == presets.end())
      presets.push_back(range.preset);
  return presets;
}

Result<SettingsForm> LoadSettingsForm(const std::string& path) {
  SettingsForm form;
  AFTERSCOPE_ASSIGN(WordList numbers, LoadWordList(path, "numbers"));
  AFTERSCOPE_ASSIGN(WordList totals, LoadWordList(path, "totals"));
  form.numbers = std::move(numbers.items);
  form.totals = std::move(totals.items);
  AFTERSCOPE_ASSIGN(const std::string text, RealFileSystem().ReadAll(path, kMostFormBytes));
  const Json json = Json::parse(text, nullptr, false);
  for (const Json& entry : ObjectsIn(json, "choices")) {
    SettingsForm::Choice choice{TextIn(entry, "key"), TextIn(entry, "name"), {}};
    const auto words = entry.find("words");
    if (words != entry.end() && words->is_array())
      for (const Json& word : *words)
        if (word.is_string()) choice.words.push_back(word.get<std::string>());
    if (!choice.key.empty()) form.choices.push_back(std::move(choice));
  }
  for (const Json& entry : ObjectsIn(json, "usual"))
    if (entry.contains("low") && entry["low"].is_number() && entry.contains("high") &&
        entry["high"].is_number())
      form.usual.push_back({TextIn(entry, "preset"), TextIn(entry, "key"), entry["low"].get<double>(),
                            entry["high"].get<double>()});
  for (const Json& entry : ObjectsIn(json, "typed"))
    if (entry.contains("keys") && entry["keys"].is_array())
      for (const Json& key : entry["keys"])
        if (key.is_string()) form.typed[TextIn(entry, "preset")].push_back(key.get<std::string>());
  return form;
}

TypedPreset PresetAndNumbers(const SettingsForm& form, const std::string& typed) {
  std::string words = typed;
  std::vector<std::string> numbers;
  while (true) {
    const std::size_t end = words.find_last_not_of(' ');
    const std::size_t space = end == std::string::npos ? end : words.rfind(' ', end);
    if (space == std::string::npos || !NumberFrom(words.substr(space + 1, end - space))) break;
    numbers.insert(numbers.begin(), words.substr(space + 1, end - space));
    words.resize(space);
  }
  const auto known = form.typed.find(CompletedWords(words, form.Presets()));
  if (numbers.empty() || known == form.typed.end()) return {CompletedWords(typed, form.Presets()), {}};
  TypedPreset found{known->first, {}};
  for (std::size_t i = 0; i < std::min(numbers.size(), known->second.size()); ++i)
    found.numbers[known->second[i]] = numbers[i];
  return found;
}

std::string CompletedWords(const std::string& typed, const std::vector<std::string>& words) {
  std::string spaced = typed;
  std::replace(spaced.begin(), spaced.end(), ',', ' ');
  std::vector<std::string> known;
  std::string unknown;
  for (std::size_t from = 0; from < spaced.size();) {
    const std::size_t to = std::min(spaced.find(' ', from), spaced.size());
    const std::string part = spaced.substr(from, to - from);
    from = to + 1;
    if (part.empty()) continue;
    const auto word = std::find_if(words.begin(), words.end(),
                                   [&](const std::string& each) { return each.starts_with(part); });
    if (word != words.end())
      known.push_back(*word);
    else
      AddWords(unknown, part);
  }
  std::string all;
  for (const std::string& word : words)
    if (std::find(known.begin(), known.end(), word) != known.end()) AddWords(all, word);
  AddWords(all, unknown);
  return all;
}

std::string OddSetting(const SettingsForm& form, const std::string& preset, const WordList::Item& item,
                       const std::string& typed) {
  if (std::string odd = OddNumber(item, typed); !odd.empty()) return odd;
  const auto number = NumberFrom(typed);
  for (const SettingsForm::UsualRange& range : form.usual)
    if (number && !preset.empty() && range.preset == preset && range.key == item.key &&
        (*number < range.low || *number > range.high))
      return fmt::format("{} {} is not usual for {}, where it is {} to {} {}: is it right?", item.ShortName(),
                         typed, preset, range.low, range.high, item.unit);
  return {};
}

std::map<std::string, std::string> SettingsOfPreset(const Review& review, const std::string& preset) {
  for (auto moment = review.moments.rbegin(); moment != review.moments.rend(); ++moment)
    if (moment->kind == MomentKind::kSettings && moment->key == preset && !preset.empty())
      return moment->fields;
  return {};
}

std::string SettingsWords(const SettingsForm& form, const std::string& preset,
                          const std::map<std::string, std::string>& fields) {
  std::string words = preset;
  for (const SettingsForm::Choice& choice : form.choices) AddWords(words, FieldIn(fields, choice.key));
  for (const auto* list : {&form.numbers, &form.totals})
    for (const WordList::Item& item : *list)
      if (const std::string value = FieldIn(fields, item.key); !value.empty())
        AddWords(words,
                 fmt::format("{} {}{}{}", item.ShortName(), value, item.unit.empty() ? "" : " ", item.unit));
  return words;
}

}  // namespace afterscope
