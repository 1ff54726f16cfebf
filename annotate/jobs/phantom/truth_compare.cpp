// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/truth_compare.hpp"

#include <algorithm>
#include <cmath>
#include <string>

namespace afterscope {
namespace {

constexpr double kEqual = 1e-6;

bool Speaks(const Finding& finding, const TrueValue& truth) {
  if (finding.name != truth.name || finding.step != truth.step ||
      finding.operator_code != truth.operator_code)
    return false;
  if (truth.mark && (finding.marks.empty() || finding.marks.front() != *truth.mark)) return false;
  if (truth.recording && (finding.frames.empty() || finding.frames.front().recording != *truth.recording))
    return false;
  return !truth.trail || finding.trail == truth.trail;
}

bool Holds(const Estimate& estimate, double truth) {
  const double slack = kEqual * std::max(1.0, std::abs(truth));
  return truth >= estimate.low - slack && truth <= estimate.high + slack;
}

}  // namespace

std::vector<Comparison> CompareWithTruth(const std::vector<TrueValue>& truth,
                                         const std::vector<Finding>& findings) {
  std::vector<Comparison> out;
  for (const TrueValue& value : truth) {
    Comparison row{value, std::nullopt, {}, false};
    const auto found =
        std::find_if(findings.begin(), findings.end(), [&](const Finding& f) { return Speaks(f, value); });
    if (found == findings.end()) {
      row.why = "no such finding";
    } else if (!found->measured.estimate) {
      row.why = found->measured.cautions.empty() ? "no reason given" : found->measured.cautions.front();
    } else {
      row.measured = found->measured.estimate;
      row.holds = Holds(*row.measured, value.value);
    }
    out.push_back(row);
  }
  return out;
}

Coverage CoverageOf(const std::vector<Comparison>& comparisons) {
  Coverage coverage;
  for (const Comparison& row : comparisons) {
    if (!row.measured) continue;
    ++coverage.all;
    if (row.holds) ++coverage.held;
  }
  return coverage;
}

std::string NameOf(const Comparison& comparison) {
  std::string name = comparison.truth.name;
  for (const auto& part : {comparison.truth.step, comparison.truth.operator_code})
    if (part) name += " " + *part;
  if (comparison.truth.mark && name.starts_with("incision.")) name += " " + comparison.truth.mark->value;
  if (comparison.truth.recording) name += " file " + std::to_string(*comparison.truth.recording + 1);
  return name;
}

}  // namespace afterscope
