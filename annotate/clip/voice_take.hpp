// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/clip/clip_plan.hpp"
#include "metrics/base/time.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// At that second of a take's sound this frame was on the screen.
struct TakeAnchor {
  double seconds = 0;
  FrameRef at;
  friend bool operator==(const TakeAnchor&, const TakeAnchor&) = default;
};

// One take of a teacher's narration: what was said, and which frames were looked at meanwhile. It belongs to
// the case, not to a review, so that a signed one can be narrated too.
struct VoiceTake {
  std::string id;      // an id
  std::string file;    // its sound, in CASEDIR/clips/voice
  std::string sha256;  // of the whole file
  double seconds = 0;
  // From 0 s to `seconds`, growing; between two anchors the picture went evenly from one frame to the other.
  // Never empty.
  std::vector<TakeAnchor> path;
  std::string words;  // what is said, where somebody wrote it down
  FrameRef start() const { return path.front().at; }
  friend bool operator==(const VoiceTake&, const VoiceTake&) = default;
};

// What was on the screen at many seconds of a take, growing, as few anchors: between them the frame that was
// shown is told to within kPathSeconds of the case clock. The last one stands at `seconds`. Empty for none.
inline constexpr double kPathSeconds = 0.04;
std::vector<TakeAnchor> PathFrom(const std::vector<TakeAnchor>& seen, double seconds, const CaseClock& clock);

// The last take that begins at or before a frame; null: none does.
const VoiceTake* TakeBefore(const std::vector<VoiceTake>& takes, FrameRef at);

// Parts that show what was on the screen while a take was spoken, with its sound: what played becomes a
// stretch, where it rested, went backwards or jumped a still.
std::vector<ClipPart> PartsOfTake(const VoiceTake& take, const CaseClock& clock);

// A stretch of a take's sound in a part of a clip.
struct VoicePiece {
  std::size_t take = 0;  // in the list of takes
  double at = 0;         // seconds of the clip since the part's beginning
  double from = 0;       // seconds of the take
  double length = 0;     // seconds
  double left_out = 0;   // seconds of the take that the part is too short for
};

// What is heard of the narration in a part that lasts `part_seconds`, in order: the take that the part names,
// from there on; else each take that begins on a frame of the part when that frame is shown, or later once
// the one before it has ended. Nothing where the part has no voice, or its case no such take.
std::vector<VoicePiece> VoiceOfPart(const ClipPart& part, double part_seconds,
                                    const std::vector<VoiceTake>& takes, const CaseClock& clock);

// The words at a second of a take: its sentences one after another, each for its share of the letters, since
// nothing tells when each was said. Empty where nobody wrote them down.
std::string TakeWordsAt(const VoiceTake& take, double seconds);

}  // namespace afterscope
