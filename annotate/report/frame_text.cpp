// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/frame_text.hpp"

#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {

namespace {

std::string Filled(const std::string& pattern, const std::string& value) {
  const std::size_t brace = pattern.find("{}");
  return brace == std::string::npos ? pattern : pattern.substr(0, brace) + value + pattern.substr(brace + 2);
}

}  // namespace

std::string FrameText(const ReportModel& model, const ReportFrame& frame) {
  std::string out;
  if (model.recordings.size() > 1)
    out = Filled(model.words.Text("frame.recording"), fmt::format("{}", frame.ref.recording + 1)) + ", ";
  return out + FormatClock(frame.case_seconds) + ", " +
         Filled(model.words.Text("frame.tick"), fmt::format("{}", frame.ref.pts.ticks));
}

std::string FramesText(const ReportModel& model, const std::vector<ReportFrame>& frames, std::size_t most) {
  std::string out;
  const std::size_t shown = std::min(frames.size(), most);
  for (std::size_t i = 0; i < shown; ++i) out += (i ? "; " : "") + FrameText(model, frames[i]);
  if (frames.size() > shown)
    out += "; " + Filled(model.words.Text("frame.more"), fmt::format("{}", frames.size() - shown));
  return out;
}

std::string PlaceOf(FrameRef frame) { return fmt::format("frame-{}-{}", frame.recording, frame.pts.ticks); }

FindingText TextOf(const ReportModel& model, const ReportFinding& finding) {
  const EstimateText text = FormatEstimate(*finding.finding.measured.estimate, finding.finding.measured.unit);
  return {text.value, text.limits.empty() ? "–" : text.limits, FramesText(model, finding.frames)};
}

}  // namespace afterscope
