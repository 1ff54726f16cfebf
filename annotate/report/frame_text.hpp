// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/report_model.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A frame as it is printed small beside a number: "1:32.40, tick 46200", with the recording where there are
// several.
std::string FrameText(const ReportModel& model, const ReportFrame& frame);
// The first of them, and how many more.
std::string FramesText(const ReportModel& model, const std::vector<ReportFrame>& frames,
                       std::size_t most = 2);
// The name of the place where a frame's picture stands: letters, digits and '-' only.
std::string PlaceOf(FrameRef frame);

// A computed finding as it is printed.
struct FindingText {
  std::string value;   // with unit
  std::string limits;  // a dash: none
  std::string frames;
};
// Asks for an estimate.
FindingText TextOf(const ReportModel& model, const ReportFinding& finding);

}  // namespace afterscope
