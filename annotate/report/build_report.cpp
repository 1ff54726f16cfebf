// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/build_report.hpp"

#include "annotate/report/build/parts.hpp"

namespace afterscope {

Result<ReportModel> BuildReport(const ReportInput& input, const Progress& progress, const StopQuery& stop) {
  ReportModel model;
  model.words = input.words;
  model.findings = input.findings;
  ReportBuild build{input, CaseClock(input.record.recordings), model};
  FillHeading(build);
  FillEarlierGoal(build);
  FillStrip(build);
  FillSteps(build);
  FillKeyFindings(build);
  FillRhexis(build);
  FillTrails(build);
  FillEyeOverTime(build);
  FillOtherFindings(build);
  AFTERSCOPE_TRY(FillMoments(build, progress, stop));
  FillChecks(build);
  FillScores(build);
  FillNotReviewed(build);
  FillMethod(build);
  FillCautions(build);
  return model;
}

}  // namespace afterscope
