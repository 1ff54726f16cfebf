// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/shell/key_events.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

using Kind = KeyEvent::Kind;

KeyEvent Press(int key) { return {Kind::kPress, key, 0, 0, 0}; }
KeyEvent Release(int key) { return {Kind::kRelease, key, 0, 0, 0}; }
KeyEvent Letter(unsigned letter) { return {Kind::kLetter, 0, 0, 0, letter}; }

}  // namespace

TEST_CASE("A key that goes down and up between two frames is seen down in one and up in the next",
          "[shell]") {
  KeyEventQueue queue;
  queue.Push(Press(1));
  queue.Push(Release(1));
  const auto first = queue.TakeFrame();
  REQUIRE(first.size() == 1);
  CHECK(first[0].kind == Kind::kPress);
  const auto second = queue.TakeFrame();
  REQUIRE(second.size() == 1);
  CHECK(second[0].kind == Kind::kRelease);
  CHECK(queue.empty());
}

TEST_CASE("Typed letters stay with the press that typed them, and before the next", "[shell]") {
  KeyEventQueue queue;
  for (const auto& event :
       {Press(1), Letter('a'), Release(1), Press(2), Letter('b'), Press(9), Release(2), Release(9)})
    queue.Push(event);
  CHECK(queue.TakeFrame().size() == 2);  // down, a
  const auto second = queue.TakeFrame();
  REQUIRE(second.size() == 3);  // up, down, b
  CHECK(second[2].letter == 'b');
  CHECK(queue.TakeFrame().size() == 2);  // the other down, the first up
  CHECK(queue.TakeFrame().size() == 1);
  CHECK(queue.TakeFrame().empty());
}

}  // namespace afterscope
