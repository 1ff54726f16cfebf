// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/case/finding.hpp"
#include "annotate/case/score_sheet.hpp"
#include "annotate/case/step_list.hpp"
#include "annotate/jobs/demo/demo_series.hpp"
#include "annotate/jobs/phantom/truth_compare.hpp"
#include "metrics/base/result.hpp"

#include <map>
#include <string>
#include <vector>

namespace afterscope {

// Where the demo lies.
struct DemoPlaces {
  std::string folder;
  std::string CaseFolder(const std::string& code) const { return folder + "/cases/" + code; }
  // Apart from the recorded cases, whose operations are shortened: their times are not to be compared.
  std::string TableFolder(const std::string& code) const { return folder + "/tables/" + code; }
  std::string Recordings() const { return folder + "/recordings"; }
  std::string Truth(const std::string& code) const { return folder + "/truth/" + code + ".json"; }
  std::string Report(const std::string& code) const { return folder + "/reports/" + code + ".pdf"; }
};

struct DemoOutcome {
  std::string code;
  std::string date;
  std::string operator_code;
  std::string case_folder;
  std::vector<std::string> recordings;
  std::vector<Finding> findings;
  std::vector<Comparison> comparisons;
};

// What the invented reviewers of the series share.
struct DemoReviewing {
  std::string reviewer;
  std::string second_reviewer;
  StepList steps;
  ScoreSheet sheet;
};
Result<DemoReviewing> LoadDemoReviewing(const DemoSeries& series, const std::string& assets_folder,
                                        FileSystem& files = RealFileSystem());

// A score for each item that the sheet has.
EditGroup GiveScores(const std::map<std::string, double>& scores, const ScoreSheet& sheet);

// Renders, encodes, tags, marks and measures one case of the series and writes its truth. The folders above
// exist.
Result<DemoOutcome> MakeDemoCase(const DemoCase& demo, const DemoPlaces& places,
                                 const DemoReviewing& reviewing, const Progress& progress,
                                 const StopQuery& stop, FileSystem& files = RealFileSystem());

}  // namespace afterscope
