// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/build/parts.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace afterscope {

namespace {

constexpr std::size_t kMostKeyFindings = 8;
constexpr int kUnknownOrder = 1 << 20;

int OrderOf(const ReportBuild& build, const Finding& finding) {
  const auto found = build.in.words.findings.find(finding.name);
  return found == build.in.words.findings.end() ? kUnknownOrder : found->second.order;
}

std::string GroupOf(const ReportBuild& build, const Finding& finding) {
  const auto found = build.in.words.findings.find(finding.name);
  return found == build.in.words.findings.end() ? "" : found->second.group;
}

ReportFinding OnFirstPage(const ReportBuild& build, const Finding& finding) {
  ReportFinding shown = build.Present(finding);
  const auto found = build.in.words.findings.find(finding.name);
  if (found != build.in.words.findings.end() && !found->second.first_page.empty())
    shown.label = found->second.first_page;
  return shown;
}

// Those of the panels and the step table stand there.
bool StandsElsewhere(const std::string& group) {
  return group == "steps" || group == "rhexis" || group == "cover" || group == "path";
}

}  // namespace

void FillKeyFindings(ReportBuild& build) {
  for (const std::string& name : build.in.words.key_findings) {
    for (const Finding& finding : build.in.findings) {
      if (build.model.key_findings.size() >= kMostKeyFindings) return;
      const bool own = !finding.operator_code || *finding.operator_code == build.OwnCode();
      if (finding.name == name && finding.measured.estimate && own)
        build.model.key_findings.push_back(OnFirstPage(build, finding));
    }
  }
}

void FillOtherFindings(ReportBuild& build) {
  std::map<std::string, std::vector<const Finding*>> groups;
  for (const Finding& finding : build.in.findings)
    if (const std::string group = GroupOf(build, finding); !StandsElsewhere(group))
      groups[group].push_back(&finding);
  for (auto& [group, findings] : groups)
    std::stable_sort(findings.begin(), findings.end(), [&](const Finding* a, const Finding* b) {
      return OrderOf(build, *a) < OrderOf(build, *b);
    });
  for (const std::string group : {"time", "eye", "pupil", "incision", "scale", "appendix", ""}) {
    const auto found = groups.find(group);
    if (found == groups.end()) continue;
    FindingGroup shown{build.Text("group." + group), {}};
    for (const Finding* finding : found->second) {
      shown.findings.push_back(build.PresentWithOperator(*finding));
    }
    build.model.other_findings.push_back(std::move(shown));
  }
}

}  // namespace afterscope
