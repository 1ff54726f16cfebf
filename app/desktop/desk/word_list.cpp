// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/word_list.hpp"

#include "annotate/case/text.hpp"
#include "annotate/store/file_system.hpp"
#include "app/desktop/desk/text_in.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cctype>

namespace afterscope {
namespace {

constexpr std::int64_t kMostWordListBytes = 1 << 20;

std::optional<double> NumberIn(const nlohmann::json& entry, const char* member) {
  const auto found = entry.find(member);
  return found != entry.end() && found->is_number() ? std::optional(found->get<double>()) : std::nullopt;
}

// A definition is searched for words, not for single letters.
constexpr std::size_t kLeastOfDefinition = 3;

std::string Lower(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

bool Has(const std::string& text, const std::string& part) {
  return Lower(text).find(Lower(part)) != std::string::npos;
}

// Of the first so many words, as a trade abbreviates: "pcr" of "Posterior capsule rupture".
std::string InitialsOf(const std::string& name, std::size_t count) {
  std::string initials;
  bool begins = true;
  for (const char c : Lower(name)) {
    if (begins && c != ' ' && initials.size() < count) initials += c;
    begins = c == ' ' || c == '-';
  }
  return initials;
}

}  // namespace

std::string WordList::Item::ShortName() const { return name.substr(0, name.find(" (")); }

std::vector<WordList::Item> WordList::Matching(const std::string& text) const {
  std::vector<Item> found;
  for (const Item& item : items)
    if (Has(item.name, text) || InitialsOf(item.name, text.size()) == Lower(text)) found.push_back(item);
  if (text.size() < kLeastOfDefinition) return found;
  for (const Item& item : items)
    if (!Has(item.name, text) && Has(item.definition, text)) found.push_back(item);
  return found;
}

Result<WordList> LoadWordList(const std::string& path, const std::string& member) {
  AFTERSCOPE_ASSIGN(const std::string text, RealFileSystem().ReadAll(path, kMostWordListBytes));
  const auto json = nlohmann::json::parse(text, nullptr, false);
  if (!json.is_object() || !json.contains(member) || !json[member].is_array())
    return Error{ErrorCode::kUnreadable,
                 fmt::format("The file '{}' can't be used: it is not a JSON object with a list \"{}\".", path,
                             member)};
  WordList list;
  for (const auto& entry : json[member])
    if (entry.is_object() && !TextIn(entry, "key").empty())
      list.items.push_back({TextIn(entry, "key"), TextIn(entry, "name"), TextIn(entry, "unit"),
                            NumberIn(entry, "low"), NumberIn(entry, "high"), TextIn(entry, "definition")});
  return list;
}

std::string OddNumber(const WordList::Item& item, const std::string& typed) {
  if (typed.empty()) return {};
  const auto number = NumberFrom(typed);
  if (!number) return fmt::format("{}: '{}' is no number", item.name, typed);
  const bool outside = (item.low && *number < *item.low) || (item.high && *number > *item.high);
  if (!outside) return {};
  return fmt::format("{} {} lies outside {} to {} {}: is it right?", item.name, typed, item.low.value_or(0),
                     item.high.value_or(0), item.unit);
}

}  // namespace afterscope
