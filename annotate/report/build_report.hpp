// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/finding.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/score_sheet.hpp"
#include "annotate/case/step_list.hpp"
#include "annotate/jobs/measure/eye_over_time.hpp"
#include "annotate/jobs/measure/tip_map.hpp"
#include "annotate/report/report_model.hpp"
#include "metrics/base/picture.hpp"
#include "metrics/base/result.hpp"

#include <functional>
#include <string>
#include <vector>

namespace afterscope {

// What is known of an earlier case of the same operator.
struct EarlierCase {
  std::string code;
  std::string date;  // ISO 8601
  std::vector<Finding> findings;
  Assessment words = {};  // what its review says: goals set and followed up
};

// Gives the picture of a frame, or says why not. Empty: no recording is at hand.
using FrameSupplier = std::function<Result<Picture>(FrameRef)>;

struct ReportInput {
  const CaseRecord& record;
  const Review& review;
  const StepList& steps;
  std::vector<Finding> findings;
  std::vector<EarlierCase> earlier;
  ReportWords words;
  FrameSupplier frames;
  std::map<std::string, std::string>
      names;  // of difficulties, complications ... by key; a key without one shows itself
  std::string program_version;
  std::string journal_head;                   // digest of the journal's last entry; empty: not known
  std::vector<std::string> cautions;          // about how the case opened
  int most_pictures = 60;                     // of moments; further ones are told by their frame alone
  std::vector<ScoreSheet> score_sheets = {};  // those that the review used, as far as they are at hand
  std::vector<TipMap> tip_maps = {};
  EyeOverTime eye_over_time = {};
};

// Makes the report of a review. Any part that the case has nothing for is left empty and told under what was
// not reviewed. Fails only with kStopped.
Result<ReportModel> BuildReport(const ReportInput& input, const Progress& progress, const StopQuery& stop);

}  // namespace afterscope
