// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/case_session.hpp"
#include "app/common/review_options.hpp"
#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What `tag` was asked to do. Times are in the forms of CaseTimes.
struct TagOptions {
  std::string folder;
  ReviewOptions review;
  std::string step;
  std::string at;
  std::string to;
  std::string from;
  int lane = 0;
  std::string end_step;
  std::string take_over;
  std::string give_back;
  std::vector<std::string> move_start;  // visit, time
  std::vector<std::string> move_end;
  std::vector<std::string> split;
  std::string join;
  std::string rename;               // visit; --step gives the new name
  std::vector<std::string> remove;  // ids of any kind
  std::string moment;
  std::string key;
  std::string text;
  std::vector<std::string> fields;
  std::string mark;
  std::vector<std::string> points;  // "x,y"
  bool propose = false;             // the outline, or the rest of it
  std::string trail;
  std::string instrument;
  std::string hand;
  std::vector<std::string> trail_points;  // "TIME,x,y"
  std::string scale;
  std::string scale_mark;
  std::string plane = "cornea";
  std::optional<double> known_mm;
  std::optional<double> known_sd_mm;
  std::optional<int> known_gauge;
  std::vector<std::string> checks;      // KEY=STATE
  std::vector<std::string> set;         // FIELD=VALUE of the case
  std::vector<std::string> set_review;  // FIELD=VALUE of the review
  std::optional<std::string> own_view;
  std::vector<std::string> strengths;
  std::optional<std::string> change;
  std::optional<std::string> drill;
  std::optional<std::string> drill_date;
  std::optional<std::string> earlier_goal;
  std::vector<std::string> accept;  // ids of drafts, or "all"
  std::vector<std::string> refuse;
  std::vector<std::string> move_draft;  // draft, time; --to gives its end
  std::string edits;
  int undo = 0;
  int redo = 0;
  bool sign = false;
  std::string recognised;  // no, perhaps, yes
  std::string answer;
  std::string answer_by;
  bool next_version = false;
  bool reviews = false;  // list them
  bool history = false;
  std::string scrub;
  bool list = false;
  bool json = false;
};

// Carries out the single edits of the options, each one group, in a fixed order; returns how many there were.
Result<int> CarryOutTags(CaseSession& session, const TagOptions& options);

// Carries out a file of edits ("-": standard input).
Result<int> CarryOutEditsFile(CaseSession& session, const std::string& file);

// Signs, answers, notes whether the operator was recognised, begins the next version; returns how many of
// these were asked for.
Result<int> CarryOutSigning(CaseSession& session, const TagOptions& options);

// Prints the reviews of the case, a line each.
void PrintReviews(const CaseSession& session);

// Prints who did what when in the review, an entry a line.
Status PrintHistory(const CaseSession& session);

// Prints what the review holds; of a blind one, no more than its reviewer may see.
void PrintReview(const CaseSession& session, bool json);

}  // namespace afterscope
