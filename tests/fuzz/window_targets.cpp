// SPDX-License-Identifier: Apache-2.0
#include "tests/fuzz/window_targets.hpp"

#include "app/common/recent_list.hpp"
#include "app/desktop/desk/view_settings.hpp"
#include "app/desktop/key_map.hpp"
#include "tests/fuzz/one_text.hpp"

#include <string>

namespace afterscope {
namespace {

// As the program's own map, and as the user's over a small one.
void ReadKeyMap(std::string_view bytes) {
  const std::string text(bytes);
  const std::string own(R"({"keys": {"play": ["Space", "K"], "undo": ["Ctrl+Z"]}})");
  for (const auto& map : {KeyMap::Parse(text), KeyMap::Parse(own, text)}) {
    if (!map.ok()) continue;
    for (const KeyMap::Line& line : map->Lines())
      for (const std::string& key : line.keys) {
        const auto chord = ParseChord(key);
        Demand(chord && ChordText(*chord) == key, "A key is not read as it is written.");
      }
  }
}

void ReadWindowSettings(std::string_view bytes) {
  static FileOfBytes file;
  const std::string& path = file.Holding(bytes);
  const ViewSettings settings = LoadViewSettings(path);
  Demand(settings.scale_pct >= 90 && settings.scale_pct <= 200, "A size of text that can't be drawn.");
  static_cast<void>(RecentPaths(path));
}

constexpr FuzzTarget kTargets[] = {
    {"key_map", ReadKeyMap},
    {"window_settings", ReadWindowSettings},
};

}  // namespace

std::span<const FuzzTarget> WindowFuzzTargets() { return kTargets; }

}  // namespace afterscope
