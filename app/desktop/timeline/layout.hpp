// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"
#include "annotate/media/frame_table.hpp"
#include "app/desktop/timeline/strip.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// The pure pass of the timeline: a case and a width in, small draw records out. No window code; positions in
// pixels.

using Tables = std::vector<std::shared_ptr<const FrameTable>>;  // by recording; null: not opened

// A stretch of a step. Neighbours too narrow to tell apart are merged into one record without a step.
struct BandRecord {
  float left = 0;
  float right = 0;
  std::string step;  // empty: several steps merged
  std::vector<VisitId> visits;
  bool taken_over = false;
  bool open_end = false;  // no end was set: it lasts until the next start or the end of the case
};

// Moments that fall within a few pixels of each other are one record.
struct MomentRecord {
  float x = 0;
  MomentKind kind =
      MomentKind::kRemark;  // the weightiest: complication, teaching point, check, settings, remark
  std::vector<MomentId> moments;
};

struct TimeTick {
  float x = 0;
  double seconds = 0;
};

// A place where a visit starts or ends, or one ends and the next starts.
struct BoundaryRecord {
  float x = 0;
  FrameRef at;
  std::optional<VisitId> ending;
  std::optional<VisitId> starting;
  int lane = 0;
};

struct FrameRecord {
  float left = 0;
  float right = 0;
  FrameRef at;
  bool key = false;
  bool damaged = false;
};

// A small picture of the frame `at`, from `left` to where the next begins.
struct PictureRecord {
  float left = 0;
  float right = 0;
  FrameRef at;
};

// The whole case in the full width.
struct OperationLayout {
  Strip strip;
  std::vector<BandRecord> bands;
  std::vector<BandRecord> other_hand;  // the second lane
  std::vector<MomentRecord> moments;
  std::vector<TimeTick> ticks;  // whole minutes or seconds, as many as fit
  std::vector<float> joints;    // where one recording ends and the next begins
};

// A few seconds round the playhead, frame by frame.
struct MomentLayout {
  Strip strip;
  std::vector<FrameRecord> frames;  // those in sight; empty where they would be narrower than three pixels
  std::vector<PictureRecord> pictures;
  std::vector<BandRecord> bands;
  std::vector<BandRecord> other_hand;
  std::vector<BoundaryRecord> boundaries;  // of both lanes
  std::vector<MomentRecord> moments;
};

// `unit`: pixels of the screen a pixel of the usual text size; signs of moments closer than they are wide are
// one.
OperationLayout LayOutOperation(const CaseClock& clock, const Review& review, float left, float right,
                                float unit = 1);

// span_s: how many seconds are in sight; the playhead is in the middle. picture_width: how wide a small
// picture should be; they begin at every n-th frame of the recording, so that they stay the same while the
// strip moves.
MomentLayout LayOutMoment(const CaseClock& clock, const Review& review, const Tables& tables,
                          FrameRef playhead, double span_s, float left, float right, float picture_width,
                          float unit = 1);

}  // namespace afterscope
