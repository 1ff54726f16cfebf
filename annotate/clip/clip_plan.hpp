// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/ids.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/step_list.hpp"
#include "metrics/base/rational.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// What is seen of a picture: its point (x, y), in shares of the shown picture's width and height, in the
// middle of the frame, `zoom` times as large as the whole picture would be (1 and more). The view never
// reaches over the edge of the picture.
struct ClipView {
  double x = 0.5, y = 0.5;
  double zoom = 1;
  friend bool operator==(const ClipView&, const ClipView&) = default;
};

enum class ClipPartKind { kStretch, kStill, kTitle };
enum class ClipSound { kMuted, kOriginal, kFile };

// An arrow or words that only the clip shows: an arrow points from one place to the other, where both are the
// same the words stand alone. Places in shares of the shown picture's width and height.
struct ClipNote {
  double from_x = 0, from_y = 0;
  double to_x = 0, to_y = 0;
  std::string text;
  double start = 0, end = 3;  // seconds of the clip since the part's beginning, half-open
  friend bool operator==(const ClipNote&, const ClipNote&) = default;
};

// One part of a teaching clip, shown one after another.
struct ClipPart {
  ClipPartKind kind = ClipPartKind::kStretch;
  std::string case_folder;     // relative to the folder of the case that holds the plan; empty: that case
  std::string review;          // id; empty: as a case opens
  FrameRef start;              // stretch, still
  FrameRef end;                // stretch: [start, end)
  double speed = 1;            // stretch: 1/8 to 8
  double seconds = 3;          // still, title: how long it is shown
  std::string text;            // title card's words; else a heading shown at the beginning of the part
  ClipView view, view_at_end;  // moves from one to the other, slowly at both ends
  bool outlines = true;        // outlines, notes and millimetre bar of the marks on each frame
  bool dial = true;            // clock hours and degrees round the limbus
  bool findings = false;       // what was measured of the rhexis, beside its outline
  bool trail = false;
  bool timer = false;       // time since the start of the part, in the recording's own seconds
  bool captions = true;     // of the narration
  double fade_seconds = 0;  // from and to black at both ends
  ClipSound sound = ClipSound::kMuted;
  std::string sound_file;  // with kFile: relative to the folder of the case that holds the plan
  double sound_from = 0;   // its second at the part's beginning; a part before it with the same file goes on
  bool voice = false;      // the narration's takes are heard, and the sound under them lowered
  std::string take;        // with voice: this take alone; empty: each take from its first frame on
  double take_from = 0;    // its second at the part's beginning
  std::vector<ClipNote> notes;
  friend bool operator==(const ClipPart&, const ClipPart&) = default;
};

struct ClipPlan {
  std::string name;
  int width = 1280, height = 720;  // even
  Rational rate{25, 1};            // frames a second
  std::vector<ClipPart> parts;
  bool burn_captions = true;
  friend bool operator==(const ClipPlan&, const ClipPlan&) = default;
};

// Whether a text of a clip can be kept and read again: clean (text.hpp) and at most 65 536 bytes.
bool CanBeKept(std::string_view text);

// What is wrong with a plan, in one sentence: no parts, a size or speed out of range, a part without length,
// a text that can't be kept.
Status CheckPlan(const ClipPlan& plan);

// Parts for every visit of the steps, in order of time, each with the step's name as heading.
std::vector<ClipPart> PartsOfSteps(const Review& review, const StepList& list,
                                   const std::vector<std::string>& steps, FrameRef end_of_case);
// A stretch that stands still at a frame in its middle for some seconds before it goes on: three parts, or
// the still and what is left of the stretch where the frame is its first. The part itself where the frame is
// not one of its own. Notes stay where the picture is that they were put on.
std::vector<ClipPart> Frozen(const ClipPart& part, FrameRef at, double seconds, const CaseClock& clock);
// Two minutes around a moment, within the case.
ClipPart PartAround(FrameRef at, const CaseClock& clock);

}  // namespace afterscope
