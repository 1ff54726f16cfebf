// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/report_model.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What heads the report, in words, for the PDF and the page alike.
struct Fact {
  std::string label;
  std::string value;
};

// Date, eye, operation.
std::string SubtitleOf(const ReportModel& model);
// Operator, role, supervision, own share, the eye's difficulty, review. What is not known is said to be not
// stated.
std::vector<Fact> FactsOf(const ReportModel& model);
// The goal of an earlier report and what became of it; empty where there is none.
std::string EarlierGoalOf(const ReportModel& model);
// What was answered to the review, each with who and when.
std::vector<std::string> AnswersOf(const ReportModel& model);

}  // namespace afterscope
