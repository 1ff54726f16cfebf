// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/scrub_json.hpp"

#include "annotate/store/checkpoint.hpp"
#include "annotate/store/scrub.hpp"

#include <algorithm>
#include <iterator>

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
                                          "hand",
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

// A name of a field is the user's own only after "extra." and "consent.".
bool IsOwnWord(const std::string& name, const Json& value) {
  if (name == "moments" && value.is_array())  // ids, as evidence of a score
    return std::all_of(value.begin(), value.end(), [](const Json& item) { return item.is_string(); });
  if (!value.is_string()) return false;
  if (name == "field") return value.get<std::string>().find('.') == std::string::npos;
  return std::find(std::begin(kOwnWords), std::end(kOwnWords), name) != std::end(kOwnWords);
}

// A date that is scrubbed becomes none, since no other text may stand there.
bool IsDate(const std::string& name, const Json& object) {
  return name == "date" || name == "drill_date" || name == "delete_by" ||
         (name == "text" && object.contains("field") && object["field"] == "date");
}

bool ScrubObject(Json& json, const ScrubTexts& texts, bool free_names) {
  bool changed = false;
  Json fresh = Json::object();
  for (auto& member : json.items()) {
    std::string name = free_names ? ScrubbedOf(member.key(), texts) : member.key();
    changed = changed || name != member.key();
    Json value = member.value();
    if (free_names || !IsOwnWord(name, value)) {
      const bool scrubbed = ScrubJson(value, texts, HasFreeNames(name));
      if (scrubbed && !free_names && IsDate(name, json)) value = "";
      changed = changed || scrubbed;
    }
    fresh[std::move(name)] = std::move(value);
  }
  json = std::move(fresh);
  return changed;
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

}  // namespace afterscope
