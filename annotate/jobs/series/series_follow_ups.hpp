// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/store/index/index_rows.hpp"
#include "annotate/store/step_list_file.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Things to look at again in a window of time are fields of a case's own: extra.follow_up.KEY with the window
// "YYYY-MM-DD to YYYY-MM-DD", and once done extra.follow_up_done.KEY with the date.

enum class FollowUpState { kComing, kDue, kOverdue, kDone };

struct FollowUp {
  std::string code, folder, operator_code;
  std::string key;
  std::string name;
  std::string from, to;  // ISO 8601 dates, both included
  std::string done;      // date, or empty
  FollowUpState state = FollowUpState::kComing;
};

// The follow-ups of the cases as they stand on a date, the earliest first. `known`: names for their keys. A
// window that can't be read is told in `cautions`.
std::vector<FollowUp> FollowUpsOn(const std::string& date, const std::vector<IndexCase>& cases,
                                  const std::vector<NamedKey>& known, std::vector<std::string>& cautions);

// Whether a text is "YYYY-MM-DD to YYYY-MM-DD", from a day to the same or a later one.
bool IsFollowUpWindow(const std::string& text);

// "coming", "due", "overdue", "done".
const char* StateWords(FollowUpState state);
// "2026-03-02 to 2026-04-01", or the one day.
std::string WindowWords(const FollowUp& follow_up);

// The window of a known follow-up for a case of that date: its definition "FROM to TO" in days after it.
// kBadCall for one that is not known, kNotComputable for a case without a date.
Result<EditGroup> PlanFollowUp(const NamedKey& follow_up, const std::string& case_date);

// The window of a follow-up that a narration spoke of: of its draft, once that is accepted, `from_days` to
// `to_days` after the case's date, under the key "narration" ("narration_2" where that is another window's
// already). Without edits where such a window is planned already. kNotComputable for a case without a date
// and kBadCall for a draft that is no accepted follow-up with days that are possible.
Result<EditGroup> PlanSpokenFollowUp(const CaseRecord& record, const Draft& accepted);

// That the follow-up of that key was done on a day. kBadCall where it is neither planned for the case nor
// known, and for a day before that of the operation (where the case has one) or after `today`.
Result<EditGroup> TickOffFollowUp(const std::string& key, const std::string& on, const std::string& today,
                                  const CaseRecord& record, const std::vector<NamedKey>& known);

}  // namespace afterscope
