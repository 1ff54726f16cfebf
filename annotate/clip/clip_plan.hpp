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
enum class ClipSound { kMuted, kOriginal };

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
  bool outlines = true;        // outlines, dial, notes and millimetre bar of the marks on each frame
  bool trail = false;
  bool timer = false;       // time since the start of the part, in the recording's own seconds
  bool captions = true;     // of the narration
  double fade_seconds = 0;  // from and to black at both ends
  ClipSound sound = ClipSound::kMuted;
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

// What is wrong with a plan, in one sentence: no parts, a size or speed out of range, a part without length.
Status CheckPlan(const ClipPlan& plan);

// Parts for every visit of the steps, in order of time, each with the step's name as heading.
std::vector<ClipPart> PartsOfSteps(const Review& review, const StepList& list,
                                   const std::vector<std::string>& steps, FrameRef end_of_case);
// Two minutes around a moment, within the case.
ClipPart PartAround(FrameRef at, const CaseClock& clock);

}  // namespace afterscope
