// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/shell/field_keys.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

// What a text field does by keys: common practice, no source.
TEST_CASE("What types, moves in a text, changes or leaves it belongs to the field with the cursor",
          "[shell]") {
  for (const char* text : {"A",
                           "1",
                           "Shift+A",
                           "Space",
                           ".",
                           "[",
                           "Left",
                           "Shift+Home",
                           "Ctrl+Left",
                           "Alt+Left",
                           "Ctrl+Delete",
                           "Alt+Delete",
                           "Backspace",
                           "Enter",
                           "Ctrl+Enter",
                           "Tab",
                           "Shift+Tab",
                           "Escape",
                           "Shift+Escape",
                           "PageDown",
                           "Ctrl+A",
                           "Ctrl+C",
                           "Ctrl+X",
                           "Ctrl+V",
                           "Ctrl+Z",
                           "Ctrl+Shift+Z",
                           "Ctrl+Y",
                           "Ctrl+Alt+B"}) {
    CAPTURE(text);
    CHECK(IsForField(*ParseChord(text)));
  }
}

TEST_CASE("What a field has no use for does what it does elsewhere", "[shell]") {
  for (const char* text :
       {"Alt+1", "Alt+H", "Alt+Shift+D", "Ctrl+1", "Ctrl+P", "Ctrl+Shift+D", "Ctrl+Shift+V", "Ctrl++", "F1",
        "Shift+F1", "Ctrl+F6", "F12", "Alt+PageDown", "Ctrl+Space"}) {
    CAPTURE(text);
    CHECK_FALSE(IsForField(*ParseChord(text)));
  }
}

}  // namespace afterscope
