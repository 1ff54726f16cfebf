// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/note_grip.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kNear = 0.03;  // of the picture's width

bool IsArrow(const ClipNote& note) { return note.from_x != note.to_x || note.from_y != note.to_y; }

// How far a place lies from the shaft of an arrow, all in shares of the picture's width.
double FromShaft(const ClipNote& note, PictureShare at, double high) {
  const double x = note.to_x - note.from_x, y = (note.to_y - note.from_y) * high;
  const double to_x = at.x - note.from_x, to_y = (at.y - note.from_y) * high;
  const double along = std::clamp((to_x * x + to_y * y) / (x * x + y * y), 0.0, 1.0);
  return std::hypot(to_x - along * x, to_y - along * y);
}

}  // namespace

std::optional<NoteGrip> NoteGripAt(const ClipPart& part, double into_part, PictureShare at, double high) {
  struct Candidate {
    NoteGrip grip;
    double distance;
  };
  std::optional<Candidate> nearest;
  const auto consider = [&](std::size_t note, NoteHold hold, double distance) {
    if (distance <= kNear && (!nearest || distance < nearest->distance))
      nearest = Candidate{{note, hold}, distance};
  };
  const auto from = [&](double x, double y) { return std::hypot(at.x - x, (at.y - y) * high); };
  const auto shown = [&](const ClipNote& note) { return into_part >= note.start && into_part < note.end; };
  for (std::size_t i = part.notes.size(); i-- > 0;) {
    const ClipNote& note = part.notes[i];
    if (!shown(note)) continue;
    consider(i, IsArrow(note) ? NoteHold::kHead : NoteHold::kWhole, from(note.to_x, note.to_y));
    if (IsArrow(note)) consider(i, NoteHold::kTail, from(note.from_x, note.from_y));
  }
  for (std::size_t i = part.notes.size(); i-- > 0 && !nearest;)
    if (shown(part.notes[i]) && IsArrow(part.notes[i]))
      consider(i, NoteHold::kWhole, FromShaft(part.notes[i], at, high));
  return nearest ? std::optional(nearest->grip) : std::nullopt;
}

ClipNote MovedNote(const ClipNote& note, NoteHold hold, double x, double y) {
  ClipNote moved = note;
  const auto within = [](double step, double from, double to) {
    return std::clamp(step, -std::min(from, to), 1 - std::max(from, to));
  };
  if (hold == NoteHold::kWhole || !IsArrow(note)) {
    x = within(x, note.from_x, note.to_x);
    y = within(y, note.from_y, note.to_y);
    moved.from_x += x;
    moved.from_y += y;
    moved.to_x += x;
    moved.to_y += y;
  } else if (hold == NoteHold::kTail) {
    moved.from_x = std::clamp(note.from_x + x, 0.0, 1.0);
    moved.from_y = std::clamp(note.from_y + y, 0.0, 1.0);
  } else {
    moved.to_x = std::clamp(note.to_x + x, 0.0, 1.0);
    moved.to_y = std::clamp(note.to_y + y, 0.0, 1.0);
  }
  return moved;
}

}  // namespace afterscope
