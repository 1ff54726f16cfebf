// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/finding.hpp"
#include "annotate/case/review.hpp"
#include "annotate/jobs/measure/eye_over_time.hpp"
#include "annotate/overlay/shape.hpp"
#include "annotate/report/report_words.hpp"
#include "metrics/picture/rgb_image.hpp"
#include "metrics/picture/shown_picture.hpp"
#include "metrics/rhexis/overlap.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// A frame that a number leads back to.
struct ReportFrame {
  FrameRef ref;
  double case_seconds = 0;  // on the case clock
  friend bool operator==(const ReportFrame&, const ReportFrame&) = default;
};

// A picture of the report: a frame as it is shown, with what is drawn on it.
struct ReportPicture {
  ReportFrame frame;
  RgbImage image;      // empty: `missing` says why
  ShownPicture shown;  // maps positions in the recording to the picture as shown
  ShapeList shapes;    // in square pixels of the recording
  std::string caption;
  std::string missing;
  bool damaged = false;
  // The part to show, in shown square pixels, within the picture.
  struct Part {
    double x = 0, y = 0, width = 0, height = 0;
  };
  std::optional<Part> part;
};

// Which picture of ReportModel::pictures.
using PictureIndex = std::size_t;

struct ReportFinding {
  Finding finding;
  std::string label;
  std::vector<ReportFrame> frames;
};

struct ReportHeading {
  std::string case_code, date, eye, operation;
  std::string operator_code, operator_role, supervision_level;
  std::string reviewer_code, review_id, review_kind;
  std::vector<std::string> review_traits;  // an own view, blinded, which version; empty: none of these
  bool is_signed = false;
  std::vector<std::string> difficulty;
};

// How much of the tagged operating time (first lane) was the operator's own.
struct OwnShare {
  double own_seconds = 0;
  double total_seconds = 0;
  int take_overs = 0;  // stretches in which the supervisor had the instruments
};

struct StripVisit {
  std::string step_name;
  std::size_t order = 0;  // of the step, for its tint
  double start_seconds = 0;
  double end_seconds = 0;
  bool taken_over = false;
};

// The operation from its first step to its last.
struct OperationStrip {
  double start_seconds = 0;
  double end_seconds = 0;
  std::vector<StripVisit> visits;      // first lane
  std::vector<double> moment_seconds;  // complications and teaching points within it
};

// The same operator's own times for a step in his earlier cases, as far as they have that step.
struct EarlierTimes {
  int cases = 0;
  double median_seconds = 0;
  double low_seconds = 0;  // the shortest and the longest
  double high_seconds = 0;
};

struct StepRow {
  std::string key;
  std::string name;
  std::size_t order = 0;
  int own_visits = 0;                  // in which the operator had the instruments at all
  double own_seconds = 0;              // the operator's part of them
  std::optional<Estimate> own_limits;  // from the findings
  double others_seconds = 0;           // what others had of the step
  double longest_seconds = 0;          // longest stretch in the operator's hands
  double first_start_seconds = 0;
  std::vector<ReportFrame> starts;  // of every visit, whoever had the instruments
  std::optional<EarlierTimes> earlier;
};

// How the rhexis edge covers the lens optic in one direction from the optic's centre.
struct CoverSector {
  double clock_hour = 12;  // of its middle, in (0, 12]
  Overlap kind = Overlap::kUncertain;
};

struct RhexisPanel {
  std::string title;
  std::optional<PictureIndex> picture;
  std::vector<ReportFinding> findings;
  std::vector<CoverSector> cover;  // equal sectors in order of clock hour; empty: `cover_note` says why
  std::vector<std::optional<Estimate>>
      cover_mm;  // at 1 to 12 o'clock, positive: covered; empty: no millimetres
  std::string cover_note;
};

struct TrailPanel {
  std::string title;
  std::optional<PictureIndex> picture;
  std::vector<PictureIndex> maps;  // where the tip was, a step each
  std::vector<ReportFinding> findings;
};

// A curve over the case and what its values may be off by.
struct EyeChartPanel {
  std::string title;
  EyeCourse course;
  std::string limits;
};

// The pupil and the eye's place over a stretch of the case clock.
struct EyeOverTimePanel {
  double start_seconds = 0;
  double end_seconds = 0;
  std::vector<EyeChartPanel> charts;
  std::vector<std::string> notes;
};

struct FindingGroup {
  std::string title;
  std::vector<ReportFinding> findings;
};

struct MomentRow {
  ReportFrame at;
  MomentKind kind = MomentKind::kRemark;
  std::string kind_name;
  std::string title;      // which complication, check or preset
  std::string step_name;  // of the visit around it
  std::string text;
  std::vector<std::pair<std::string, std::string>> fields;
  std::optional<PictureIndex> picture;
};

struct CheckRow {
  std::string name;
  CheckState state = CheckState::kNotReviewed;
  std::string state_name;
};

// A goal that an earlier report agreed, and what became of it.
struct EarlierGoal {
  std::string case_code, date;  // of the earlier case; empty: it was not found
  std::string drill;
  GoalOutcome outcome = GoalOutcome::kNotSaid;
};

// An item of a score sheet that was scored.
struct ScoreRow {
  std::string group;  // its name; empty: none
  std::string name;
  std::string value;  // the value and its name, or that the item does not apply
  std::string remark;
  std::vector<ReportFrame> moments;  // the evidence
};

struct ScorePanel {
  std::string title;
  std::vector<ScoreRow> rows;  // in the order of the sheet
  std::string sum;
};

struct ReportScale {
  ScaleId id;
  std::string description;
  ReportFrame frame;
};

// Known by what is in it: a recorder's or a person's name for its file may tell whose operation it is.
struct ReportRecording {
  std::string fingerprint;  // "sampled ..." or "verified ..."; empty without a file
  std::string description;
  double start_seconds = 0;
};

// A training report, complete and independent of the case: what the PDF, the page, the JSON and the table are
// made from.
struct ReportModel {
  ReportWords words;
  ReportHeading heading;
  std::optional<OwnShare> share;
  Assessment assessment;  // the reviewer's words; never the program's
  std::optional<EarlierGoal> earlier_goal;
  std::vector<ReviewAnswer> answers;  // to the signed review
  OperationStrip strip;
  std::vector<ReportFinding> key_findings;
  std::vector<std::string> not_reviewed;
  std::vector<StepRow> steps;
  int earlier_cases = 0;
  std::vector<std::string> step_notes;
  std::vector<RhexisPanel> rhexis;
  std::vector<TrailPanel> trails;
  std::optional<EyeOverTimePanel> eye_over_time;  // none: the eye was not followed
  std::vector<FindingGroup> other_findings;
  std::vector<MomentRow> moments;  // all but settings
  std::vector<MomentRow> settings;
  std::vector<CheckRow> checks;
  std::vector<ScorePanel> scores;
  std::vector<ReportScale> scales;
  std::vector<ReportRecording> recordings;
  std::vector<std::pair<std::string, std::string>> method;  // what, how
  std::vector<std::string> cautions;
  // For whoever makes the report, never in it: names files of this machine. Empty for a blind reviewer.
  std::vector<std::string> told;
  std::vector<ReportPicture> pictures;
  std::vector<Finding> findings;  // all of them, as computed
};

}  // namespace afterscope
