// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/scrub.hpp"

#include "annotate/case/text.hpp"
#include "annotate/media/digest.hpp"
#include "annotate/store/document.hpp"
#include "annotate/store/journal.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <random>

namespace afterscope {
namespace {

constexpr std::string_view kPutInstead = "[scrubbed]";
constexpr std::int64_t kMostBytes = 1LL << 30;

// Members whose texts are not the user's.
constexpr std::array<std::string_view, 23> kOwnWords{"id",
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
                                                     "planned_rhexis_kind"};

char Folded(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

bool HasFreeNames(const std::string& name) { return name == "extra" || name == "fields" || name == "checks"; }

// A name of a field is the user's own only after "extra." and "consent.".
bool IsOwnWord(const std::string& name, const Json& value) {
  if (!value.is_string()) return false;
  if (name == "field") return value.get<std::string>().find('.') == std::string::npos;
  return std::find(kOwnWords.begin(), kOwnWords.end(), name) != kOwnWords.end();
}

// A date that is scrubbed becomes none, since no other text may stand there.
bool IsDate(const std::string& name, const Json& object) {
  return name == "date" || name == "drill_date" || name == "delete_by" ||
         (name == "text" && object.contains("field") && object["field"] == "date");
}

// What is to be replaced: what was asked for, then the names of sounds that go with it.
using Texts = std::vector<std::string>;

std::string ScrubbedOf(std::string from, const Texts& texts) {
  for (const std::string& text : texts) from = Scrubbed(from, text);
  return from;
}

bool ScrubJson(Json& json, const Texts& texts, bool free_names);

bool ScrubObject(Json& json, const Texts& texts, bool free_names) {
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

bool ScrubJson(Json& json, const Texts& texts, bool free_names) {
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

std::string NewSalt() {
  std::random_device random;
  return fmt::format("{:08x}{:08x}{:08x}{:08x}", random(), random(), random(), random());
}

struct ScrubbedJournal {
  std::string bytes;
  std::vector<std::int64_t> entries;  // that were changed
};

// Names and digests of the sounds of those spoken remarks that hold the text in any of their states.
void CollectSpoken(const Json& json, const std::string& text, Texts& names) {
  if (!json.is_structured()) return;
  const auto fields = json.is_object() ? json.find("fields") : json.end();
  const auto sound = [&](const char* field) {
    return fields->contains(field) && (*fields)[field].is_string() ? (*fields)[field].get<std::string>() : "";
  };
  if (fields != json.end() && fields->is_object() && !sound("sound_file").empty()) {
    Json copy = json;
    if (ScrubJson(copy, {text}, false))
      for (const std::string& found : {sound("sound_file"), sound("sound_sha256")})
        if (found.size() > 1 && found != kPutInstead &&
            std::find(names.begin(), names.end(), found) == names.end())
          names.push_back(found);
  }
  for (const Json& inner : json) CollectSpoken(inner, text, names);
}

ScrubbedJournal ScrubJournal(const JournalContent& content, const Texts& texts) {
  ScrubbedJournal result;
  std::string head;
  std::int64_t order = 0;
  for (const JournalLine& line : content.lines) {
    Json json = Json::parse(line.text);
    if (ScrubJson(json, texts, false)) {
      json["salt"] = NewSalt();
      result.entries.push_back(line.entry);
    }
    json["previous"] = head;
    JournalLine fresh = line;
    fresh.text = CompactText(json);
    fresh.digest = Sha256Hex(fresh.text);
    head = fresh.digest;
    order = line.order;
    result.bytes += FileText(fresh);
  }
  if (result.entries.empty()) return result;
  const JournalLine& last = content.lines.back();
  const Json members{{"kind", "scrub"}, {"previous_head", last.digest}, {"entries", result.entries}};
  result.bytes += FileText(MakeJournalLine(last.entry + 1, order, head, members));
  return result;
}

// Leftovers (journals put aside and the like) can't be rewritten as journals; the text is replaced in their
// bytes.
Status ScrubLeftover(FileSystem& files, const std::string& path, const Texts& texts) {
  AFTERSCOPE_ASSIGN(const std::string before, files.ReadAll(path, kMostBytes));
  const std::string after = ScrubbedOf(before, texts);
  return after == before ? Status() : ReplaceFile(files, path, after);
}

bool IsLeftover(const std::string& name) {
  return name.starts_with("journal.damaged-") || name.find(".json.set-aside-") != std::string::npos;
}

Status WriteScrubbed(FileSystem& files, const std::string& folder, const ScrubbedJournal& journal,
                     const Texts& texts) {
  if (!journal.entries.empty()) AFTERSCOPE_TRY(ReplaceFile(files, folder + "/journal", journal.bytes));
  AFTERSCOPE_ASSIGN(const std::vector<std::string> names, files.List(folder));
  for (const std::string& name : names) {
    if (IsLeftover(name)) AFTERSCOPE_TRY(ScrubLeftover(files, folder + "/" + name, texts));
    // The checkpoint is made anew from the journal; members that only it holds would carry the text on.
    if (name == "case.json" || name == "review.json") AFTERSCOPE_TRY(files.Remove(folder + "/" + name));
  }
  return files.SyncFolder(folder);
}

}  // namespace

std::string Scrubbed(std::string_view from, std::string_view text) {
  std::string result;
  const auto same = [](char a, char b) { return Folded(a) == Folded(b); };
  while (true) {
    const auto found = std::search(from.begin(), from.end(), text.begin(), text.end(), same);
    result.append(from.begin(), found);
    if (found == from.end()) return result;
    result += kPutInstead;
    from.remove_prefix(static_cast<std::size_t>(found - from.begin()) + text.size());
  }
}

Result<int> ScrubFolders(FileSystem& files, const std::vector<std::string>& folders,
                         const std::string& text) {
  if (text.size() < 2 || !IsCleanText(text) || Scrubbed(kPutInstead, text) != kPutInstead)
    return Error{ErrorCode::kBadCall,
                 fmt::format("Can't scrub '{}': give a clean text of two or more bytes that is not "
                             "part of '{}'.",
                             text, kPutInstead)};
  std::vector<JournalContent> contents;
  Texts texts{text};
  for (const std::string& folder : folders) {
    AFTERSCOPE_ASSIGN(const std::string bytes, files.ReadAll(folder + "/journal", kMostBytes));
    contents.push_back(ReadJournal(bytes));
    for (const JournalLine& line : contents.back().lines) CollectSpoken(Json::parse(line.text), text, texts);
  }
  std::vector<ScrubbedJournal> journals;
  int changed = 0;
  for (const std::string& folder : folders) {
    journals.push_back(ScrubJournal(contents[journals.size()], texts));
    const DocumentKind kind = &folder == &folders.front() ? DocumentKind::kCase : DocumentKind::kReview;
    if (!Document::Replays(files, kind, journals.back().bytes))
      return Error{
          ErrorCode::kBadCall,
          fmt::format("Can't scrub '{}': it is part of the words that the record needs to be read.", text)};
    changed += static_cast<int>(journals.back().entries.size());
  }
  for (std::size_t i = 0; i < folders.size(); ++i)
    AFTERSCOPE_TRY(WriteScrubbed(files, folders[i], journals[i], texts));
  return changed;
}

}  // namespace afterscope
