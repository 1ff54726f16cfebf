// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/draft.hpp"
#include "annotate/case/ids.hpp"
#include "annotate/case/score.hpp"
#include "metrics/base/plane.hpp"
#include "metrics/base/point.hpp"
#include "metrics/base/time.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// One stretch [start, end) of a step. `end` empty: still open, it lasts until the next start in its lane or
// the end of the case.
struct StepVisit {
  VisitId id;
  std::string step;  // key in the step list, or free words
  int lane = 0;      // 0: what statistics use; 1: the other hand
  FrameRef start;
  std::optional<FrameRef> end;
  std::string operator_code;  // empty: the case's operator
  bool taken_over = false;    // the supervisor has the instruments in this visit
  friend bool operator==(const StepVisit&, const StepVisit&) = default;
};

enum class MomentKind { kRemark, kTeachingPoint, kComplication, kSettings, kCheck };

// Something that happened at one instant. What `fields` holds depends on the kind and is listed in FORMAT.md.
struct Moment {
  MomentId id;
  FrameRef at;
  MomentKind kind = MomentKind::kRemark;
  std::string key;  // which complication, check or preset; empty for a remark
  std::string text;
  std::map<std::string, std::string> fields;
  friend bool operator==(const Moment&, const Moment&) = default;
};

enum class MarkKind {
  kLimbus,
  kPupil,
  kRhexis,
  kLensEdge,
  kIncision,
  kRuler,
  kObject,
  kGrasp,
  kArrow,
  kLabel,
  kCover
};
// Of something round: the kinds whose points lie all round what is marked.
inline bool IsOutline(MarkKind kind) {
  return kind == MarkKind::kLimbus || kind == MarkKind::kPupil || kind == MarkKind::kRhexis ||
         kind == MarkKind::kLensEdge;
}

// Something drawn on one frame. Outlines (limbus, pupil, rhexis, lens edge) are points on a closed smooth
// curve, in order; incision, ruler, object and arrow are two points (an arrow points at the second), of a
// scleral tunnel more, along its groove; a label or grasp is one point; a cover is two opposite corners.
struct Mark {
  MarkId id;
  FrameRef at;
  MarkKind kind = MarkKind::kLimbus;
  std::vector<PointPx> points;
  std::string text;  // a label's words; the object's or incision's name
  std::map<std::string, std::string>
      fields;  // e.g. "stage": "completion" | "over optic"; FORMAT.md lists them
  friend bool operator==(const Mark&, const Mark&) = default;
};

enum class TrailSource { kHand, kFollowed, kCorrected };

struct TrailPoint {
  FrameRef at;
  PointPx tip;
  TrailSource source = TrailSource::kHand;
  double confidence = 1;  // of a followed point, 0 to 1
  // Another place on the instrument's shaft, where the hand said which way it lies: the program follows it
  // so.
  std::optional<PointPx> shaft = {};
  friend bool operator==(const TrailPoint&, const TrailPoint&) = default;
};

// A stretch in which the tip is out of the eye or can't be seen: no path is made across it.
struct TrailGap {
  HalfOpen<FrameRef> range;
  bool out_of_eye = false;  // true: no instrument in the eye; false: not visible
  friend bool operator==(const TrailGap&, const TrailGap&) = default;
};

// An instrument tip's positions, points in order of time, at most one a frame.
struct Trail {
  TrailId id;
  std::string instrument;
  std::string hand;  // "main", "other"
  std::vector<TrailPoint> points;
  std::vector<TrailGap> gaps;
  friend bool operator==(const Trail&, const Trail&) = default;
};

enum class ScaleSource { kLimbus, kObject, kRuler };

// How pixels become millimetres, from a mark of known size. It holds for `range`, or where that is empty for
// the whole recording of its mark.
struct ScaleDef {
  ScaleId id;
  ScaleSource source = ScaleSource::kLimbus;
  MarkId mark;
  Plane plane = Plane::kCornea;
  std::optional<double> known_mm;     // empty with a limbus: this eye's or the population's corneal diameter
  std::optional<double> known_sd_mm;  // its standard deviation
  std::optional<HalfOpen<FrameRef>> range;
  friend bool operator==(const ScaleDef&, const ScaleDef&) = default;
};

enum class CheckState { kNotReviewed, kSeenDone, kSeenNotDone, kNotVisible };
enum class ReviewKind { kFormative, kFormal };  // never mixed in figures

// Whether the reviewer is shown whose case it is (see blinding.hpp). Lifted: it was shown before the review
// was signed.
enum class Blinding { kOpen, kBlinded, kLifted };

// What the reviewer says in words; each optional.
struct Assessment {
  std::string own_view;                              // the trainee's own view
  std::vector<std::string> strengths;                // two
  std::string change;                                // one
  std::string drill;                                 // one agreed drill
  std::string drill_date;                            // ISO 8601 date
  GoalOutcome earlier_goal = GoalOutcome::kNotSaid;  // of the drill that the last report agreed
  friend bool operator==(const Assessment&, const Assessment&) = default;
};

// What signing leaves in a review. From then on the review is sealed: it never changes again.
struct Signature {
  std::string by;  // code of who signed
  std::string at;  // UTC, YYYY-MM-DDThh:mm:ssZ
  std::int64_t case_entry =
      0;  // last entry of the case's journal at that time: the fields it was signed with
  friend bool operator==(const Signature&, const Signature&) = default;
};

// One person's view of a case.
struct Review {
  ReviewId id;
  std::string reviewer_code;
  ReviewKind kind = ReviewKind::kFormative;
  bool is_self = false;  // the operator's own view of his case, before he sees another's
  Blinding blinding = Blinding::kOpen;
  int version = 1;           // counts up where a signed review was changed
  ReviewId version_of;       // the first version; empty: this is the first
  std::string earlier_seal;  // of the version before; empty in the first
  bool is_signed = false;    // then `signature` says by whom
  Signature signature;
  std::vector<StepVisit> visits;  // in order of lane and start; visits of a lane never overlap
  std::vector<Moment> moments;    // in order of time
  std::vector<Mark> marks;        // in order of time
  std::vector<Trail> trails;
  std::vector<ScaleDef> scales;
  std::vector<Score> scores;                 // in order of sheet and item, by all sheets that were used
  std::map<std::string, CheckState> checks;  // by key of the step list; absent: not reviewed
  Assessment assessment;
  std::vector<Caption> captions;  // a narration, in order of time
  std::vector<Draft> drafts;      // what it suggests, in order of time
  friend bool operator==(const Review&, const Review&) = default;
};

}  // namespace afterscope
