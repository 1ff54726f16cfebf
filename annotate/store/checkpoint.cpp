// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/checkpoint.hpp"

#include "annotate/media/digest.hpp"
#include "annotate/store/journal.hpp"
#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace afterscope {
namespace {

constexpr std::string_view kDigestStart = ",\n  \"digest\": \"";
constexpr std::string_view kEnd = "\n}\n";

const Json* WithId(const Json& list, const Json& id) {
  for (const Json& item : list)
    if (item.is_object() && item.contains("id") && item["id"] == id) return &item;
  return nullptr;
}

void KeepUnknown(Json& fresh, const Json& old) {
  if (fresh.is_object() && old.is_object()) {
    for (const auto& member : old.items()) {
      if (!fresh.contains(member.key()))
        fresh[member.key()] = member.value();
      else if (!HasFreeNames(member.key()))
        KeepUnknown(fresh[member.key()], member.value());
    }
  } else if (fresh.is_array() && old.is_array()) {
    for (Json& item : fresh)
      if (item.is_object() && item.contains("id"))
        if (const Json* before = WithId(old, item["id"])) KeepUnknown(item, *before);
  }
}

}  // namespace

bool HasFreeNames(const std::string& name) { return name == "extra" || name == "fields" || name == "checks"; }

int MajorOf(std::string_view version) {
  int major = 0;
  const auto [end, problem] = std::from_chars(version.data(), version.data() + version.size(), major);
  const bool sound =
      problem == std::errc{} && end != version.data() + version.size() && *end == '.' && major > 0;
  return sound ? major : 0;
}

std::string CheckpointText(const Checkpoint& checkpoint, const Json& state, const Json& old) {
  Json json{{"format", checkpoint.format},
            {"version", checkpoint.version},
            {"last_entry", checkpoint.last_entry},
            {"last_digest", checkpoint.last_digest}};
  json.update(state);
  KeepUnknown(json, old);
  json.erase("digest");
  std::string text = ReadableText(json);
  text.resize(text.size() - kEnd.size());
  const std::string digest = Sha256Hex(text);
  return fmt::format("{}{}{}\"{}", text, kDigestStart, digest, kEnd);
}

Result<CheckpointContent> CheckpointFrom(const std::string& text, const std::string& what) {
  CheckpointContent content;
  AFTERSCOPE_ASSIGN(content.json, ParseJson(text, what));
  std::string problem;
  JsonReader reader(content.json, what, problem);
  reader.Read("format", content.checkpoint.format);
  reader.Read("version", content.checkpoint.version);
  reader.Read("last_entry", content.checkpoint.last_entry);
  reader.Read("last_digest", content.checkpoint.last_digest);
  if (problem.empty() && MajorOf(content.checkpoint.version) == 0) problem = "no version";
  if (problem.empty() && content.checkpoint.last_entry > kMostEntry) problem = "an entry out of range";
  if (!problem.empty())
    return Error{ErrorCode::kUnreadable, fmt::format("Can't read {}: it has {}.", what, problem)};
  const auto start = text.rfind(kDigestStart);
  if (start != std::string::npos) {
    const std::string head = text.substr(0, start);
    content.whole = text == fmt::format("{}{}{}\"{}", head, kDigestStart, Sha256Hex(head), kEnd);
  }
  return content;
}

}  // namespace afterscope
