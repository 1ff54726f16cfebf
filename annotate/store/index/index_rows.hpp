// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/time.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What the index keeps of a case; seconds are on the case clock. Codes and words as in FORMAT.md.

struct IndexVisit {
  std::string step;
  std::string operator_code;  // who operates in it, as findings name it
  bool taken_over = false;
  double start_s = 0;
  double end_s = 0;
  FrameRef start;
};

struct IndexMoment {
  std::string kind;
  std::string key;
  std::string words;
  std::string operator_code;  // who operated then
  std::string step;           // of the visit around it, or in which a complication arose
  double at_s = 0;
  FrameRef at;
};

struct IndexFinding {
  std::string name;
  std::string step;           // empty: none
  std::string operator_code;  // whose it is; empty: of the step whoever did it
  std::optional<double> value;
  double low = 0;
  double high = 0;
  std::string unit;
  bool taken_over = false;  // made in visits that the operator had taken over
  bool shared = false;      // others had the instruments for a part of it
  std::optional<FrameRef> frame;
};

struct IndexCheck {
  std::string key;
  std::string state;
};

// An item of a score sheet as one reviewer gave it.
struct IndexScore {
  std::string sheet;
  std::string item;
  std::optional<double> value;  // empty: not applicable
};

struct IndexReview {
  std::int64_t id = 0;  // within the index
  std::string review;   // its id in the case
  std::string reviewer_code;
  std::string kind;
  bool is_self = false;
  int version = 1;
  std::string version_of;  // id of the first version in the case, its own where this is it
  bool is_signed = false;
  std::string seal;                  // where it is signed, as the case knows it
  bool complications_known = false;  // somebody has looked: "none" and "not reviewed" differ
  std::vector<IndexVisit> visits;    // first lane, in order of time
  std::vector<IndexMoment> moments;
  std::vector<IndexFinding> findings;
  std::vector<IndexCheck> checks;
  std::vector<IndexScore> scores;
};

struct IndexCase {
  std::int64_t id = 0;
  std::string folder;   // absolute
  std::string stamp;    // sizes and times of its files: unchanged means unchanged
  std::string problem;  // why it can't be read, empty otherwise
  std::string code, date, eye, operation, step_list;
  std::string operator_code, operator_role, supervisor_code, supervision_level;
  double recorded_s = 0;
  std::vector<std::string> difficulty;
  std::map<std::string, std::string> extra;
  std::vector<IndexReview> reviews;
};

}  // namespace afterscope
