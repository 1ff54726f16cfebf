// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "annotate/jobs/demo/demo_case.hpp"
#include "annotate/report/build_report.hpp"
#include "annotate/report/report_words.hpp"
#include "metrics/base/result.hpp"

namespace afterscope {

// What the reports of a series share.
struct DemoReportParts {
  ReportWords words;
  std::map<std::string, std::string> names;  // of difficulties and complications
  std::string program_version;
};
Result<DemoReportParts> LoadDemoReportParts(const std::string& assets_folder, FileSystem& files = RealFileSystem());

// Writes the training report of a case that was made, its pictures read from its recordings. `others` are all cases of
// the series; the same operator's earlier ones are compared with.
Status WriteDemoReport(const DemoOutcome& outcome, const std::vector<DemoOutcome>& others, const DemoPlaces& places,
                       const StepList& steps, const DemoReportParts& parts, const StopQuery& stop,
                       FileSystem& files = RealFileSystem());

}  // namespace afterscope
