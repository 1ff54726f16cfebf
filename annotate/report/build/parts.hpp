// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/overlay/build_shapes.hpp"
#include "annotate/report/build_report.hpp"
#include "annotate/report/report_model.hpp"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What the parts of BuildReport share. Each part fills its own fields of the model.
struct ReportBuild {
  const ReportInput& in;
  const CaseClock clock;
  ReportModel& model;

  const std::string& Text(const std::string& key) const { return in.words.Text(key); }
  // Puts values into the {} of a text; the text alone where they don't fit it.
  template <class... Values>
  std::string Filled(const std::string& key, const Values&... values) const;
  // The name of a key of assets, or the key itself.
  std::string NameOf(const std::string& key) const;
  // Whose visits are the operator's own.
  std::string OwnCode() const;
  ReportFrame FrameOf(FrameRef ref) const { return {ref, clock.Seconds(ref)}; }
  // How frames of that recording are shown; empty where the case lacks it.
  ShownPicture ShownOf(FrameRef at) const;
  ReportFinding Present(const Finding& finding) const;
  // The same with the code of whose it is, where it is one person's.
  ReportFinding PresentWithOperator(const Finding& finding) const;
  // The first finding that fits, or null.
  const Finding* Find(const std::string& name, const std::optional<std::string>& step = std::nullopt,
                      const std::optional<std::string>& operator_code = std::nullopt) const;
  // Adds a picture of that frame with what `options` draw on it; empty where no recording is at hand.
  std::optional<PictureIndex> AddPicture(FrameRef at, const Review& shown, const OverlayOptions& options,
                                         std::string caption, int most_px);
};

// A square of the picture as shown, round the points with `air` times their size, as far as there is picture;
// empty where it would be smaller than a pixel.
std::optional<ReportPicture::Part> SquareAround(const std::vector<PointSq>& points, double air,
                                                const ShownPicture& shown);

std::string FillBraces(const std::string& pattern, const std::vector<std::string>& values);

template <class... Values>
std::string ReportBuild::Filled(const std::string& key, const Values&... values) const {
  return FillBraces(Text(key), {std::string(values)...});
}

// Where a step stands in the step list; steps that the list lacks come after it, in order of their first
// visit.
std::size_t StepOrder(const ReportBuild& build, const std::string& step);

void FillHeading(ReportBuild& build);
void FillStrip(ReportBuild& build);
void FillSteps(ReportBuild& build);
void FillKeyFindings(ReportBuild& build);
void FillRhexis(ReportBuild& build);
void FillTrails(ReportBuild& build);
void FillEyeOverTime(ReportBuild& build);
void FillOtherFindings(ReportBuild& build);
Status FillMoments(ReportBuild& build, const Progress& progress, const StopQuery& stop);
void FillChecks(ReportBuild& build);
void FillEarlierGoal(ReportBuild& build);
void FillScores(ReportBuild& build);
void FillNotReviewed(ReportBuild& build);
void FillMethod(ReportBuild& build);
void FillCautions(ReportBuild& build);

}  // namespace afterscope
