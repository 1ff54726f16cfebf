// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/shell/key_events.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

using Kind = KeyEvent::Kind;

// As GLFW numbers them.
constexpr int kEnter = 257;
constexpr int kTab = 258;
constexpr int kCtrl = 341;

KeyEvent Press(int key) { return {Kind::kPress, key, 0, 0, 0, 0, 0}; }
KeyEvent Release(int key) { return {Kind::kRelease, key, 0, 0, 0, 0, 0}; }
KeyEvent Letter(unsigned letter) { return {Kind::kLetter, 0, 0, 0, letter, 0, 0}; }

}  // namespace

TEST_CASE("A key that goes down and up between two frames is seen down in one and up in the next",
          "[shell]") {
  KeyEventQueue queue;
  queue.Push(Press(1));
  queue.Push(Release(1));
  const auto first = queue.TakeFrame(false);
  REQUIRE(first.size() == 1);
  CHECK(first[0].kind == Kind::kPress);
  const auto second = queue.TakeFrame(false);
  REQUIRE(second.size() == 1);
  CHECK(second[0].kind == Kind::kRelease);
  CHECK(queue.empty());
}

TEST_CASE("Typed letters stay with the press that typed them, and before the next", "[shell]") {
  KeyEventQueue queue;
  for (const auto& event :
       {Press(1), Letter('a'), Release(1), Press(2), Letter('b'), Press(9), Release(2), Release(9)})
    queue.Push(event);
  CHECK(queue.TakeFrame(false).size() == 2);  // down, a
  const auto second = queue.TakeFrame(false);
  REQUIRE(second.size() == 3);  // up, down, b
  CHECK(second[2].letter == 'b');
  CHECK(queue.TakeFrame(false).size() == 1);  // the other down
  CHECK(queue.TakeFrame(false).size() == 2);  // both up
  CHECK(queue.TakeFrame(false).empty());
}

TEST_CASE("Ctrl that is let go before its key is still down in the frame of the key", "[shell]") {
  for (const bool typing : {false, true}) {
    KeyEventQueue queue;
    for (const auto& event : {Press(341), Press(257), Release(341), Release(257)}) queue.Push(event);
    CHECK(queue.TakeFrame(typing).size() == 1);
    const auto second = queue.TakeFrame(typing);
    REQUIRE(second.size() == 1);
    CHECK(second[0].key == 257);
    CHECK(queue.TakeFrame(typing).size() == 2);
  }
}

TEST_CASE("Text comes through a frame at a time, and stops at a key that types nothing", "[shell]") {
  KeyEventQueue queue;
  for (const auto& event :
       {Press(1), Letter('o'), Release(1), Press(1), Letter('o'), Release(1), Press(9), Release(9)})
    queue.Push(event);
  const auto text = queue.TakeFrame(true);
  CHECK(text.size() == 6);
  CHECK(queue.TakeFrame(true).size() == 1);  // Enter, by itself
  CHECK(queue.TakeFrame(true).size() == 1);
  for (const auto& event : {Press(9), Press(1), Letter('x')}) queue.Push(event);
  CHECK(queue.TakeFrame(true).size() == 1);  // a letter after it waits
  CHECK(queue.TakeFrame(true).size() == 2);
}

TEST_CASE(
    "What is pressed after Tab waits for the field that it goes to; where nothing is typed in, it does not",
    "[shell]") {
  for (const bool typing : {false, true}) {
    KeyEventQueue queue;
    for (const auto& event : {Press(kTab), Release(kTab), Press(1), Letter('x'), Release(1)})
      queue.Push(event);
    CHECK(queue.TakeFrame(typing).size() == 1);
    int frames = 0;
    bool came = false;
    while (!came && frames < 10) {
      ++frames;
      for (const KeyEvent& event : queue.TakeFrame(typing)) came = came || event.kind == Kind::kLetter;
    }
    CHECK(frames == (typing ? KeyEventQueue::kFieldFrames : 1));
  }
}

TEST_CASE("Letters after a key with Ctrl wait for the field that it may have opened; other keys do not",
          "[shell]") {
  KeyEvent with_ctrl = Press(80);
  with_ctrl.mods = 2;  // as GLFW says Ctrl
  for (const bool letter : {false, true}) {
    KeyEventQueue queue;
    queue.Push(with_ctrl);
    queue.Push(Press(1));
    if (letter) queue.Push(Letter('x'));
    CHECK(queue.TakeFrame(false).front().key == 80);
    for (int frame = 1; letter && frame < KeyEventQueue::kFieldFrames; ++frame)
      CHECK(queue.TakeFrame(false).empty());
    CHECK(queue.TakeFrame(false).front().key == 1);
  }
}

TEST_CASE("A key that is held with others goes down while a field is waited for", "[shell]") {
  KeyEventQueue queue;
  for (const auto& event : {Press(kTab), Press(kCtrl), Press(kEnter)}) queue.Push(event);
  CHECK(queue.TakeFrame(true).front().key == kTab);
  CHECK(queue.TakeFrame(true).front().key == kCtrl);
  for (int frame = 2; frame < KeyEventQueue::kFieldFrames; ++frame) CHECK(queue.TakeFrame(true).empty());
  CHECK(queue.TakeFrame(true).front().key == kEnter);
}

TEST_CASE("Buttons and keys keep their order, a frame for each going down and up", "[shell]") {
  KeyEventQueue queue;
  const KeyEvent down{Kind::kButtonDown, 0, 0, 0, 0, 12, 34};
  const KeyEvent up{Kind::kButtonUp, 0, 0, 0, 0, 56, 78};
  for (const auto& event : {Press(7), down, up, Release(7)}) queue.Push(event);
  CHECK(queue.TakeFrame(false).front().key == 7);
  const auto second = queue.TakeFrame(false);
  REQUIRE(second.size() == 1);
  CHECK(second[0].x == 12);
  CHECK(queue.TakeFrame(false).front().y == 78);
  CHECK(queue.TakeFrame(false).front().kind == Kind::kRelease);
}

}  // namespace afterscope
