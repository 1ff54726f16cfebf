// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/note_grip.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

constexpr double kHigh = 0.75;  // of a picture of 4 by 3

ClipPart WithNotes() {
  ClipPart part;
  part.notes.push_back({0.2, 0.2, 0.4, 0.2, "the flap", 1, 4});
  part.notes.push_back({0.7, 0.7, 0.7, 0.7, "words alone", 1, 4});
  return part;
}

}  // namespace

TEST_CASE("An arrow is taken by its ends or its shaft, words as a whole, while they are shown", "[clips]") {
  const ClipPart part = WithNotes();
  CHECK(NoteGripAt(part, 2, {0.41, 0.2}, kHigh) == NoteGrip{0, NoteHold::kHead});
  CHECK(NoteGripAt(part, 2, {0.19, 0.21}, kHigh) == NoteGrip{0, NoteHold::kTail});
  CHECK(NoteGripAt(part, 2, {0.3, 0.22}, kHigh) == NoteGrip{0, NoteHold::kWhole});
  CHECK(NoteGripAt(part, 2, {0.7, 0.72}, kHigh) == NoteGrip{1, NoteHold::kWhole});
  CHECK_FALSE(NoteGripAt(part, 2, {0.3, 0.25}, kHigh));    // 0.0375 of the width away
  CHECK_FALSE(NoteGripAt(part, 4, {0.41, 0.2}, kHigh));    // it is gone by then
  CHECK_FALSE(NoteGripAt(part, 0.5, {0.41, 0.2}, kHigh));  // it is not there yet
  CHECK_FALSE(NoteGripAt({}, 2, {0.41, 0.2}, kHigh));
}

TEST_CASE("A note that is moved stays within the picture, and an arrow as long as it was", "[clips]") {
  const ClipPart part = WithNotes();
  const ClipNote head = MovedNote(part.notes[0], NoteHold::kHead, 0.1, 0.9);
  CHECK(head.to_x == Approx(0.5));
  CHECK(head.to_y == Approx(1));
  CHECK(head.from_x == 0.2);
  const ClipNote tail = MovedNote(part.notes[0], NoteHold::kTail, -0.5, 0.1);
  CHECK(tail.from_x == Approx(0));
  CHECK(tail.from_y == Approx(0.3));
  const ClipNote whole = MovedNote(part.notes[0], NoteHold::kWhole, 0.9, -0.1);
  CHECK(whole.to_x == Approx(1));
  CHECK(whole.from_x == Approx(0.8));
  CHECK(whole.from_y == Approx(0.1));
  CHECK(whole.text == "the flap");
  const ClipNote words = MovedNote(part.notes[1], NoteHold::kHead, 0.1, 0);
  CHECK(words.from_x == Approx(0.8));
  CHECK(words.from_x == words.to_x);
}

}  // namespace afterscope
