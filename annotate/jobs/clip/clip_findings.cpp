// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_findings.hpp"

#include "annotate/jobs/measure.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <string_view>
#include <utility>
#include <vector>

namespace afterscope {
namespace {

// By the end of the finding's name, in the order of the lines.
constexpr std::pair<std::string_view, std::string_view> kLines[] = {
    {"diameter_largest", "largest diameter"}, {"diameter_smallest", "smallest diameter"},
    {"off_pupil", "off the pupil’s centre"},  {"off_limbus", "off the limbus’ centre"},
    {"circularity", "circularity"},           {"overlap_least", "least overlap of the lens"},
};

std::string_view LineOf(const Finding& finding) {
  if (!finding.name.starts_with("rhexis.") || !finding.measured.estimate || finding.marks.empty()) return {};
  const std::string_view name = std::string_view(finding.name).substr(finding.name.rfind('.') + 1);
  for (const auto& [ending, words] : kLines)
    if (name == ending) return words;
  return {};
}

}  // namespace

std::map<MarkId, std::string> RhexisLines(const CaseRecord& record, const Review& review) {
  Review marked;  // nothing else is measured
  marked.id = review.id;
  marked.marks = review.marks;
  marked.scales = review.scales;
  const std::vector<Finding> findings = MeasureReview(record, marked, {}, {});
  std::map<MarkId, std::string> lines;
  for (const Finding& finding : findings) {
    const std::string_view words = LineOf(finding);
    if (words.empty()) continue;
    const EstimateText text = FormatEstimate(*finding.measured.estimate, finding.measured.unit);
    std::string& all = lines[finding.marks.front()];
    if (!all.empty()) all += '\n';
    all += fmt::format("{}  {}{}", words, text.value,
                       text.limits.empty() ? std::string() : " (" + text.limits + ")");
  }
  return lines;
}

}  // namespace afterscope
