// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/key_map.hpp"

#include "annotate/store/file_system.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::int64_t kMostBytes = 1 << 20;

// Takes "Ctrl+" off the front of the text if it is there.
bool TakePrefix(std::string_view& text, std::string_view prefix) {
  if (!text.starts_with(prefix) || text.size() == prefix.size()) return false;
  text.remove_prefix(prefix.size());
  return true;
}

std::string HeadingIn(const nlohmann::ordered_json& document, const std::string& action) {
  const auto headings = document.find("headings");
  if (headings == document.end() || !headings->is_object()) return {};
  const auto heading = headings->find(action);
  return heading == headings->end() || !heading->is_string() ? std::string() : heading->get<std::string>();
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

Status KeyMap::Take(const std::string& json, bool replaces) {
  const auto document = nlohmann::ordered_json::parse(json, nullptr, false);
  if (document.is_discarded() || !document.is_object() || !document.contains("keys") ||
      !document["keys"].is_object())
    return Wrong("it is not a JSON object with \"keys\"");
  AFTERSCOPE_TRY(TakeSection(json, "keys", actions_, replaces));
  return document.contains("point_keys") ? TakeSection(json, "point_keys", point_actions_, replaces)
                                         : Status();
}

Status KeyMap::TakeSection(const std::string& json, const char* section, Actions& actions, bool replaces) {
  const auto document = nlohmann::ordered_json::parse(json);
  if (!document[section].is_object()) return Wrong(fmt::format("\"{}\" is no object", section));
  Actions taken;  // by this text
  for (const auto& [action, chords] : document[section].items()) {
    if (!chords.is_array()) return Wrong(fmt::format("\"{}\" has no list of keys", action));
    if (replaces) Forget(action, actions);
    auto line = std::find_if(lines_.begin(), lines_.end(),
                             [&name = action](const Line& l) { return l.action == name; });
    if (line == lines_.end()) line = lines_.insert(line, Line{{}, action, {}});
    if (const std::string heading = HeadingIn(document, action); !heading.empty()) line->heading = heading;
    for (const auto& text : chords) {
      const auto chord = text.is_string() ? ParseChord(text.get<std::string>()) : std::nullopt;
      if (!chord) return Wrong(fmt::format("\"{}\" has a key that is none", action));
      const auto [known, is_new] = taken.emplace(*chord, action);
      if (!is_new)
        return Wrong(
            fmt::format("{} stands for \"{}\" and \"{}\"", ChordText(*chord), known->second, action));
      TakeFrom(*chord, actions);
      actions[*chord] = action;
      line->keys.push_back(ChordText(*chord));
    }
  }
  return {};
}

// All keys of an action.
void KeyMap::Forget(const std::string& action, Actions& actions) {
  std::erase_if(actions, [&](const auto& entry) { return entry.second == action; });
  for (Line& line : lines_)
    if (line.action == action) line.keys.clear();
}

// The chord from whatever action has it.
void KeyMap::TakeFrom(const KeyChord& chord, const Actions& actions) {
  const auto had = actions.find(chord);
  if (had == actions.end()) return;
  for (Line& line : lines_)
    if (line.action == had->second) std::erase(line.keys, ChordText(chord));
}

Result<KeyMap> KeyMap::Parse(const std::string& json, const std::string& own) {
  KeyMap map;
  AFTERSCOPE_TRY(map.Take(json, false));
  if (!own.empty()) AFTERSCOPE_TRY(map.Take(own, true));
  return map;
}

Result<KeyMap> KeyMap::Load(const std::string& path, const std::string& own_path) {
  AFTERSCOPE_ASSIGN(const std::string text, RealFileSystem().ReadAll(path, kMostBytes));
  const auto own =
      own_path.empty() ? Result<std::string>(std::string()) : RealFileSystem().ReadAll(own_path, kMostBytes);
  return Parse(text, own ? *own : std::string());
}

std::string KeyMap::ActionOf(const KeyChord& chord) const {
  const auto found = actions_.find(chord);
  return found == actions_.end() ? std::string() : found->second;
}

std::string KeyMap::ActionWithPoint(const KeyChord& chord) const {
  const auto found = point_actions_.find(chord);
  return found == point_actions_.end() ? ActionOf(chord) : found->second;
}

std::string KeyMap::KeyFor(const std::string& action) const {
  const auto found =
      std::find_if(lines_.begin(), lines_.end(), [&](const Line& line) { return line.action == action; });
  return found == lines_.end() || found->keys.empty() ? std::string() : found->keys.front();
}

}  // namespace afterscope
