// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// A key with what is held down. `key` is what stands on it: an upper-case letter, a digit, a sign, or a name
// ("Space", "Left", "Enter", "F1" ...).
struct KeyChord {
  std::string key;
  bool ctrl = false;
  bool shift = false;
  bool alt = false;
  friend auto operator<=>(const KeyChord&, const KeyChord&) = default;
};

// "Ctrl+Shift+Z" and back. Empty for a text that is none.
std::optional<KeyChord> ParseChord(std::string_view text);
std::string ChordText(const KeyChord& chord);

// Which key does what; a file in assets. Actions are short words ("play", "next frame"); the program ignores
// those that it does not know.
class KeyMap {
 public:
  // From the text of keys.json. `own`: a second such text whose actions have these keys instead; a key given
  // there is taken from whatever had it. One sentence where one of them is not right: not JSON, a chord that
  // is none, a chord twice.
  static Result<KeyMap> Parse(const std::string& json, const std::string& own = {});
  // own_path: the user's file, which may be absent.
  static Result<KeyMap> Load(const std::string& path, const std::string& own_path = {});

  // Empty: none.
  std::string ActionOf(const KeyChord& chord) const;
  // While a point of a mark is chosen, "point_keys" come first.
  std::string ActionWithPoint(const KeyChord& chord) const;
  // How its first key is written, for the screen; empty: none.
  std::string KeyFor(const std::string& action) const;
  // Every action with its keys, in the order of the file.
  struct Line {
    std::string heading;  // that stands before it; empty: none
    std::string action;
    std::vector<std::string> keys;
  };
  const std::vector<Line>& Lines() const { return lines_; }

 private:
  using Actions = std::map<KeyChord, std::string>;
  Status Take(const std::string& json, bool replaces);
  Status TakeSection(const std::string& json, const char* section, Actions& actions, bool replaces);
  void Forget(const std::string& action, Actions& actions);
  void TakeFrom(const KeyChord& chord, const Actions& actions);

  std::vector<Line> lines_;
  Actions actions_;
  Actions point_actions_;
};

}  // namespace afterscope
