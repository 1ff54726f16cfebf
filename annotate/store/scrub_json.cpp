// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/scrub_json.hpp"

#include "annotate/case/ids.hpp"
#include "annotate/store/checkpoint.hpp"
#include "annotate/store/scrub.hpp"

#include <algorithm>
#include <iterator>
#include <set>

namespace afterscope {
namespace {

// Members whose texts are not the user's.
constexpr std::string_view kOwnWords[] = {"id",
                                          "kind",
                                          "format",
                                          "version",
                                          "digest",
                                          "last_digest",
                                          "previous",
                                          "previous_head",
                                          "salt",
                                          "time",
                                          "sampled_sha256",
                                          "full_sha256",
                                          "source",
                                          "plane",
                                          "mark",
                                          "trail",
                                          "state",
                                          "eye",
                                          "points_file",
                                          "points_digest",
                                          "recovered",
                                          "planned_rhexis_kind",
                                          "review",
                                          "version_of",
                                          "seal",
                                          "earlier_seal",
                                          "at",
                                          "blinding",
                                          "recognised",
                                          "sheet",
                                          "item",
                                          "earlier_goal",
                                          "sound"};

bool IsOfField(const std::string& name, const Json& object, std::string_view field) {
  return name == "text" && object.contains("field") && object["field"] == field;
}

// The ids of step lists are names of files.
bool IsStepListId(const std::string& name, const std::string& word, const Json& object) {
  return (name == "step_list" || name == "extends" || IsOfField(name, object, "step_list")) &&
         IsValidIdText(word);
}

// A name of a field is the user's own only after "extra." and "consent.".
bool IsOwnWord(const std::string& name, const Json& value, const Json& object) {
  if (name == "moments" && value.is_array())  // ids, as evidence of a score
    return std::all_of(value.begin(), value.end(), [](const Json& item) { return item.is_string(); });
  if (!value.is_string()) return false;
  const std::string word = value.get<std::string>();
  if (name == "field") return word.find('.') == std::string::npos;
  if (name.starts_with("remove_")) return true;  // the id of an item
  if (name == "hand") return word == "main" || word == "other";
  if (IsStepListId(name, word, object)) return true;
  return std::find(std::begin(kOwnWords), std::end(kOwnWords), name) != std::end(kOwnWords);
}

constexpr std::string_view kIds[] = {"id", "mark", "trail", "review", "version_of", "sheet", "item"};

// A date that is scrubbed becomes none, since no other text may stand there.
bool IsDate(const std::string& name, const Json& object) {
  return name == "date" || name == "drill_date" || name == "delete_by" || IsOfField(name, object, "date");
}

bool ScrubObject(Json& json, const ScrubTexts& texts, bool free_names) {
  bool changed = false;
  Json fresh = Json::object();
  for (auto& member : json.items()) {
    std::string name = free_names ? ScrubbedOf(member.key(), texts) : member.key();
    changed = changed || name != member.key();
    Json value = member.value();
    if (free_names || !IsOwnWord(name, value, json)) {
      const bool scrubbed = ScrubJson(value, texts, HasFreeNames(name));
      if (scrubbed && !free_names && IsDate(name, json)) value = "";
      changed = changed || scrubbed;
    }
    fresh[std::move(name)] = std::move(value);
  }
  json = std::move(fresh);
  return changed;
}

void CollectId(const std::string& name, const Json& value, const Json& object, std::set<std::string>& ids) {
  if (name == "moments" && IsOwnWord(name, value, object))
    for (const Json& id : value) ids.insert(id.get<std::string>());
  if (!value.is_string()) return;
  const std::string word = value.get<std::string>();
  if (name.starts_with("remove_") || IsStepListId(name, word, object) ||
      std::find(std::begin(kIds), std::end(kIds), name) != std::end(kIds))
    ids.insert(word);
}

}  // namespace

std::string Scrubbed(std::string_view from, std::string_view text, TextForm form) {
  std::string result;
  std::size_t done = 0;
  for (const ByteRange& found : FindCaseless(from, text, form)) {
    result.append(from.substr(done, found.begin - done));
    result += kPutInstead;
    done = found.end;
  }
  result.append(from.substr(done));
  return result;
}

std::string ScrubbedOf(std::string from, const ScrubTexts& texts, TextForm form) {
  for (const std::string& text : texts) from = Scrubbed(from, text, form);
  return from;
}

bool MayBeScrubbedOf(std::string_view scrubbed, std::string_view original) {
  const std::size_t first = scrubbed.find(kPutInstead);
  if (first == std::string_view::npos) return scrubbed == original;
  const std::string_view start = scrubbed.substr(0, first);
  const std::string_view end = scrubbed.substr(scrubbed.rfind(kPutInstead) + kPutInstead.size());
  if (original.size() < start.size() + end.size() || !original.starts_with(start) || !original.ends_with(end))
    return false;
  original = original.substr(start.size(), original.size() - start.size() - end.size());
  scrubbed = scrubbed.substr(start.size() + kPutInstead.size());
  for (std::size_t next = 0; (next = scrubbed.find(kPutInstead)) != std::string_view::npos;) {
    const std::size_t found = original.find(scrubbed.substr(0, next));
    if (found == std::string_view::npos) return false;
    original.remove_prefix(found + next);
    scrubbed.remove_prefix(next + kPutInstead.size());
  }
  return true;
}

bool ScrubJson(Json& json, const ScrubTexts& texts, bool free_names) {
  if (json.is_string()) {
    const std::string before = json.get<std::string>();
    std::string after = ScrubbedOf(before, texts);
    if (after == before) return false;
    json = std::move(after);
    return true;
  }
  bool changed = false;
  if (json.is_array())
    for (Json& item : json) changed = ScrubJson(item, texts, false) || changed;
  if (json.is_object()) changed = ScrubObject(json, texts, free_names);
  return changed;
}

void CollectIds(const Json& json, std::set<std::string>& ids) {
  if (json.is_object())
    for (const auto& member : json.items()) {
      CollectId(member.key(), member.value(), json, ids);
      if (!HasFreeNames(member.key())) CollectIds(member.value(), ids);
    }
  if (json.is_array())
    for (const Json& item : json) CollectIds(item, ids);
}

Status ScrubBytes(FileSystem& files, const std::string& path, const ScrubTexts& texts, std::int64_t most) {
  AFTERSCOPE_ASSIGN(const std::string before, files.ReadAll(path, most));
  const std::string after = ScrubbedOf(before, texts, TextForm::kJsonEscapes);
  return after == before ? Status() : ReplaceFile(files, path, after);
}

}  // namespace afterscope
