// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/jobs/phantom/phantom_recording.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/phantom/scene.hpp"

#include <map>
#include <string>
#include <vector>

namespace afterscope {

// A moment of the invented review, at a share of a step's time.
struct DemoMoment {
  std::string step;
  double share = 0;
  Moment moment;  // kind, key, text, fields
};

// One invented operation: what it is, how it is recorded, and what the reviewer says of it.
struct DemoCase {
  CaseRecord record;  // without recordings
  phantom::Scene scene;
  PhantomFormat format;
  int files = 1;
  Assessment assessment;
  std::vector<DemoMoment> moments;
  std::map<std::string, CheckState> checks;
  std::map<std::string, double> scores;  // by item of the series' score sheet
};

struct DemoTableStep {
  std::string key;
  double first_s = 60;     // what it took in the first case
  double exponent = -0.2;  // seconds = first_s * number ^ exponent
};

// The same trainee's further cases, known only as tables of step times.
struct DemoTables {
  std::string about;
  int count = 0;
  std::string operator_code;
  std::string supervisor_code;
  std::string first_date;  // ISO 8601
  int days_between = 5;
  std::vector<int> skip_numbers;  // that have a recording
  std::int64_t seed = 1;
  double spread = 0.15;  // standard deviation of the logarithm of a time
  Rational rate{25, 1};
  double lead_s = 20;
  double gap_s = 6;
  std::vector<DemoTableStep> steps;
  std::vector<std::string> difficulties;  // one of them in `difficult_share` of the cases
  double difficult_share = 0;
  double risk = 0;  // of the complication in a routine eye, and in a difficult one
  double difficult_risk = 0;
  std::string complication;
  std::string complication_step;
  std::string follow_up;  // planned in the last `follow_ups` cases
  int follow_ups = 0;
  int scored_twice = 0;  // so many of the last cases have a second reviewer's steps and scores
};

struct DemoSeries {
  std::string about;
  std::string reviewer;
  std::string second_reviewer;
  std::string score_sheet;  // id of a sheet of assets/score_sheets
  std::vector<DemoCase> cases;
  DemoTables tables;
};

// From a file of assets/demo. Fails with one sentence where it can't be read or is not of this form.
Result<DemoSeries> ReadDemoSeries(const std::string& path, FileSystem& files = RealFileSystem());

}  // namespace afterscope
