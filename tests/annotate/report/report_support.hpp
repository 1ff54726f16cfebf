// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/step_list.hpp"
#include "annotate/report/build_report.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Invented cases to make reports from: every value is a parameter of the code below.
struct InventedCase {
  CaseRecord record;
  Review review;
  StepList steps;
  std::vector<Finding> findings;
  std::vector<EarlierCase> earlier;
  EyeOverTime eye_over_time = {};
};

inline constexpr int kInventedTicksPerSecond = 1000;

FrameRef InventedFrame(double seconds, int recording = 0);
Finding InventedFinding(const std::string& name, const std::string& unit, double value, double half_width);

// Three steps, one visit each, nothing else.
InventedCase ThreeSteps();
// Everything that a report can hold: steps with returns and a take-over, outlines, trail, moments, settings,
// checks.
InventedCase FullCase();
EyeOverTime InventedEye();
// `visits` visits of 17 steps in turn, and long names.
InventedCase ManyVisits(int visits);

ReportWords ShippedWords();
// The model of a case, with pictures of an even grey where `pictures` is set.
ReportModel ModelOf(const InventedCase& made, bool pictures = false);
// A picture of one grey, 640 by 480.
Picture GreyPicture(FrameRef frame);

}  // namespace afterscope
