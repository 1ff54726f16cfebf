// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/ids.hpp"
#include "metrics/base/rational.hpp"
#include "metrics/base/time.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What has to be known of a recording to place its ticks on the case clock and its pixels in the plane, kept
// in the case so that a case whose recording is not at hand still opens and computes.
struct RecordingShape {
  Rational time_base{1, 1000};  // seconds per tick
  Pts first;                    // first frame
  Pts end;                      // last frame's timestamp plus its duration; a valid boundary
  int width = 0;                // decoded picture; 0 where there is no picture
  int height = 0;
  Rational pixel_aspect{1, 1};
  int rotation_deg = 0;   // clockwise for display
  bool verified = false;  // from the decode-verified frame table
  TickSpan frame{};       // usual distance from one frame to the next (their median); 0: not known
  friend bool operator==(const RecordingShape&, const RecordingShape&) = default;
};

// How a file is known again: its size and a SHA-256 over size and samples of the file (called "sampled"),
// and, once computed, over the whole file (called "verified").
struct Fingerprint {
  std::int64_t size = 0;
  std::string sampled_sha256;  // lower-case hex; empty: not known
  std::string full_sha256;
  friend bool operator==(const Fingerprint&, const Fingerprint&) = default;
};

// A recording of the case. A table of step times without a recording has an empty path and a declared time
// base.
struct RecordingRef {
  std::string path;  // relative to the case folder, '/' between parts; empty: no recording at hand
  Fingerprint fingerprint;
  RecordingShape shape;
  friend bool operator==(const RecordingRef&, const RecordingRef&) = default;
};

enum class Eye { kUnknown, kRight, kLeft };
enum class DiameterKind {
  kTrue,
  kAsSeen
};  // a planned diameter is of the capsule itself, or as it looks through the cornea

// A purpose for which a recording may be used, and until when.
struct Consent {
  std::string purpose;  // "review", "local teaching", "publication"
  bool given = false;
  bool withdrawn = false;
  std::string delete_by;  // ISO 8601 date; empty: none
  friend bool operator==(const Consent&, const Consent&) = default;
};

// Whether a reviewer who was not shown whose case it was knew all the same.
enum class Recognition { kNotAsked, kNo, kPerhaps, kYes };

// What someone has to say to a signed review.
struct ReviewAnswer {
  std::string by;    // a code
  std::string date;  // ISO 8601 date
  std::string text;
  friend bool operator==(const ReviewAnswer&, const ReviewAnswer&) = default;
};

// What the case keeps of a review that was signed, beside the sealed review.
struct SignedReview {
  ReviewId id;
  std::string seal;  // digest of the journal entry by which it was signed
  Recognition recognised = Recognition::kNotAsked;
  std::vector<ReviewAnswer> answers;
  friend bool operator==(const SignedReview&, const SignedReview&) = default;
};

// One operation on one eye. No field is demanded; empty means not known.
struct CaseRecord {
  std::string code;  // never a patient's name
  std::string date;  // ISO 8601 date
  Eye eye = Eye::kUnknown;
  std::string operation;        // words of the user
  std::string step_list;        // id of a step list in assets or beside the case
  std::string operator_code;    // who operates unless a visit says otherwise; a code, not a name
  std::string operator_role;    // "trainee", "surgeon", "supervisor" ...
  std::string supervisor_code;  // to whom a take-over goes
  std::string supervision_level;
  std::vector<std::string> difficulty;  // keys of assets/difficulty.json, or free words
  std::optional<double> planned_rhexis_mm;
  DiameterKind planned_rhexis_kind = DiameterKind::kTrue;
  std::optional<double> optic_diameter_mm;
  std::optional<double> corneal_diameter_mm;  // horizontal, measured
  std::optional<double> corneal_power_d;
  std::optional<double> chamber_depth_mm;  // front of the cornea to the front of the lens
  std::optional<double> seat_clock_hour;   // (0, 12]; where the surgeon sits, as seen facing the patient
  bool picture_mirrored = false;           // left and right swapped in the recording
  double picture_turned_deg = 0;           // recording turned clockwise against what the surgeon saw
  bool orientation_confirmed = false;  // confirmed on a picture labelled nasal, temporal, superior, inferior
  std::vector<Consent> consent;        // in order of purpose, one each
  std::map<std::string, std::string> extra;  // further fields, such as an imported table's own columns
  std::vector<RecordingRef> recordings;
  std::vector<SignedReview> signed_reviews;  // in order of id
  friend bool operator==(const CaseRecord&, const CaseRecord&) = default;
};

}  // namespace afterscope
