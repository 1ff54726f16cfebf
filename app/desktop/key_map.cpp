// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/key_map.hpp"

#include "annotate/store/file_system.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace afterscope {
namespace {

constexpr std::int64_t kMostBytes = 1 << 20;

// Takes "Ctrl+" off the front of the text if it is there.
bool TakePrefix(std::string_view& text, std::string_view prefix) {
  if (!text.starts_with(prefix) || text.size() == prefix.size()) return false;
  text.remove_prefix(prefix.size());
  return true;
}

Error Wrong(const std::string& why) {
  return {ErrorCode::kUnreadable, "The key map can't be used: " + why + "."};
}

}  // namespace

std::optional<KeyChord> ParseChord(std::string_view text) {
  KeyChord chord;
  while (true) {
    if (TakePrefix(text, "Ctrl+"))
      chord.ctrl = true;
    else if (TakePrefix(text, "Shift+"))
      chord.shift = true;
    else if (TakePrefix(text, "Alt+"))
      chord.alt = true;
    else
      break;
  }
  if (text.empty()) return std::nullopt;
  chord.key = std::string(text);
  if (chord.key.size() == 1 && chord.key[0] >= 'a' && chord.key[0] <= 'z')
    chord.key[0] = static_cast<char>(chord.key[0] - 'a' + 'A');
  return chord;
}

std::string ChordText(const KeyChord& chord) {
  return std::string(chord.ctrl ? "Ctrl+" : "") + (chord.alt ? "Alt+" : "") + (chord.shift ? "Shift+" : "") +
         chord.key;
}

Result<KeyMap> KeyMap::Parse(const std::string& json) {
  const auto document = nlohmann::json::parse(json, nullptr, false);
  if (document.is_discarded() || !document.is_object() || !document.contains("keys") ||
      !document["keys"].is_object())
    return Wrong("it is not a JSON object with \"keys\"");
  KeyMap map;
  for (const auto& [action, chords] : document["keys"].items()) {
    if (!chords.is_array()) return Wrong(fmt::format("\"{}\" has no list of keys", action));
    for (const auto& text : chords) {
      const auto chord = text.is_string() ? ParseChord(text.get<std::string>()) : std::nullopt;
      if (!chord) return Wrong(fmt::format("\"{}\" has a key that is none", action));
      const auto [known, is_new] = map.actions_.emplace(*chord, action);
      if (!is_new)
        return Wrong(
            fmt::format("{} stands for \"{}\" and \"{}\"", ChordText(*chord), known->second, action));
      map.keys_[action].push_back(*chord);
    }
  }
  return map;
}

Result<KeyMap> KeyMap::Load(const std::string& path) {
  AFTERSCOPE_ASSIGN(const std::string text, RealFileSystem().ReadAll(path, kMostBytes));
  return Parse(text);
}

std::string KeyMap::ActionOf(const KeyChord& chord) const {
  const auto found = actions_.find(chord);
  return found == actions_.end() ? std::string() : found->second;
}

std::string KeyMap::KeyFor(const std::string& action) const {
  const auto found = keys_.find(action);
  return found == keys_.end() || found->second.empty() ? std::string() : ChordText(found->second.front());
}

std::vector<KeyMap::Line> KeyMap::Lines() const {
  std::vector<Line> lines;
  for (const auto& [action, chords] : keys_) {
    lines.push_back({action, {}});
    for (const KeyChord& chord : chords) lines.back().keys.push_back(ChordText(chord));
  }
  return lines;
}

}  // namespace afterscope
