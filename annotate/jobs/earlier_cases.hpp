// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/step_list.hpp"
#include "annotate/report/build_report.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/time.hpp"

#include <string>
#include <vector>

namespace afterscope {

struct EarlierCases {
  std::vector<EarlierCase> cases;       // in order of date
  std::vector<std::string> unreadable;  // folders that hold a case which could not be read, and why
};

// The cases in the given folders (and the folders themselves, where they are cases) that have the same
// operator code as `record` and an earlier date, with their step times by their review of that kind
// (ReviewForFigures). Without an operator code or a date there are none. A case that is being reviewed
// blinded is left out, here and below: that it is one of these would tell whose it is.
EarlierCases FindEarlierCases(const CaseRecord& record, ReviewKind kind,
                              const std::vector<std::string>& folders, const StepList& steps,
                              const StopQuery& stop, FileSystem& files = RealFileSystem());

// The folder of the newest of those cases in which that step was tagged and that has a recording; empty where
// there is none.
std::string EarlierCaseWithStep(const CaseRecord& record, const std::vector<std::string>& folders,
                                const std::string& step, const Progress& progress, const StopQuery& stop,
                                FileSystem& files = RealFileSystem());

}  // namespace afterscope
