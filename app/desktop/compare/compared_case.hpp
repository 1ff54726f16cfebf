// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/finding.hpp"
#include "annotate/case/review.hpp"
#include "annotate/case/step_list.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace afterscope {

// A case as it is looked at beside another: for reading only.
struct ComparedCase {
  std::string folder;
  CaseRecord record;
  Review review;
  StepList steps;
  std::vector<Finding> findings;
  std::size_t visit = 0;  // which visit of the step is looked at first
};

// As it lies on disk, with findings of rough limits. Refused while it is reviewed blinded. Blocks.
Result<ComparedCase> LoadComparedCase(const std::string& folder);
// The cases round `folder` (in the folder that it lies in) in which the step was tagged and that have a
// recording, itself left out, at most that many, the newest first. Those that can't be read are left out.
// Blocks.
std::vector<ComparedCase> CasesWithStep(const std::string& folder, const std::string& step, std::size_t most,
                                        const Progress& progress, const StopQuery& stop);

// "EYE-042  ·  2026-03-14  ·  T2".
std::string CaseWords(const CaseRecord& record);
// The findings that are looked at beside each other for a step: its times, and what is measured of the rhexis
// where the step is the rhexis; in order, only those that are known in one case at least.
std::vector<std::string> FindingsBeside(const std::vector<const ComparedCase*>& cases,
                                        const std::string& step);
// The finding of that name for that step; null where there is none.
const Finding* FindingOf(const ComparedCase& of, const std::string& name, const std::string& step);

}  // namespace afterscope
