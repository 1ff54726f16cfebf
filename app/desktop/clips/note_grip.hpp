// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/clip/clip_plan.hpp"
#include "app/desktop/clips/clip_views.hpp"

#include <cstddef>
#include <optional>

namespace afterscope {

// Where an arrow, or words, of a clip's part are taken hold of in the preview. Pure.
enum class NoteHold { kTail, kHead, kWhole };
struct NoteGrip {
  std::size_t note = 0;  // in the part
  NoteHold hold = NoteHold::kWhole;
  friend bool operator==(const NoteGrip&, const NoteGrip&) = default;
};

// The note that is shown so many seconds into the part and lies nearest to the place, within three hundredths
// of the picture's width; ends of arrows and words come before shafts; empty: none is near. `high`: the
// picture's height over its width.
std::optional<NoteGrip> NoteGripAt(const ClipPart& part, double into_part, PictureShare at, double high);

// The note with what is held moved by shares of the picture, not beyond its edges. Words move as a whole.
ClipNote MovedNote(const ClipNote& note, NoteHold hold, double x, double y);

}  // namespace afterscope
