// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"
#include "annotate/jobs/score/agree_parts.hpp"
#include "annotate/jobs/series/computed.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <utility>

namespace afterscope {
namespace {

using ValueKey = std::tuple<std::string, std::string, std::string>;  // name, step, unit
using OfCases = std::map<std::string, double>;                       // value by case
using OfReviewers = std::map<std::string, OfCases>;

// Places and single clock hours are no sizes of which differences make sense.
bool IsComparable(const Finding& finding) {
  return finding.measured.estimate && !finding.operator_code && finding.measured.unit != "clock hour" &&
         finding.measured.unit != "deg" && !finding.name.starts_with("scale.") &&
         finding.name.find("overlap_clock") == std::string::npos && finding.name != "time.recorded";
}

// The same thing on the same frame: its name, which of its kind, the case and the frame.
using Thing = std::tuple<std::string, FrameRef>;
using Marked = std::map<Thing, std::vector<double>>;
using MarkedBy = std::map<std::pair<std::string, std::string>, std::map<std::string, Marked>>;  // name, unit

void NoteRepeats(const ReviewedCase& entry, const std::vector<Finding>& findings, MarkedBy& marked) {
  for (const Finding& finding : findings)
    if (IsComparable(finding) && finding.marks.size() == 1 && !finding.trail && !finding.frames.empty())
      marked[{finding.name, finding.measured.unit}][entry.reviewer][{entry.case_code, finding.frames.front()}]
          .push_back(finding.measured.estimate->value);
}

void AddRepeatability(const MarkedBy& marked, double level, AgreementModel& model) {
  for (const auto& [kind, by_reviewer] : marked)
    for (const auto& [reviewer, things] : by_reviewer) {
      std::vector<std::vector<double>> rows;
      for (const auto& [thing, values] : things)
        if (values.size() > 1) rows.push_back(values);
      if (rows.empty()) continue;
      model.repeated.push_back(
          {kind.first, kind.second, reviewer, ComputedFrom(RepeatabilityOf(rows, level))});
    }
}

ValueAgreement Compare(const ValueKey& key, const OfReviewers::value_type& a,
                       const OfReviewers::value_type& b, double level) {
  std::vector<double> first;
  std::vector<double> second;
  double differences = 0;
  for (const auto& [code, value] : a.second)
    if (const auto other = b.second.find(code); other != b.second.end()) {
      differences += value - other->second;
      first.push_back(value);
      second.push_back(other->second);
    }
  return {std::get<0>(key),
          std::get<1>(key),
          std::get<2>(key),
          a.first,
          b.first,
          first.size(),
          differences / static_cast<double>(std::max<std::size_t>(first.size(), 1)),
          ComputedFrom(LimitsOfAgreementOf(first, second, 1.96, level))};
}

}  // namespace

void CompareValues(const std::vector<ReviewedCase>& reviews, double level, AgreementModel& model) {
  std::map<ValueKey, OfReviewers> values;
  MarkedBy marked;
  for (const ReviewedCase& entry : reviews) {
    const std::vector<Finding> findings = MeasureReview(entry.record, entry.review, {}, {});
    NoteRepeats(entry, findings, marked);
    for (const Finding& finding : findings)
      if (IsComparable(finding))
        values[{finding.name, finding.step.value_or(""), finding.measured.unit}][entry.reviewer]
              [entry.case_code] = finding.measured.estimate->value;
  }
  for (const auto& [key, by_reviewer] : values)
    for (auto a = by_reviewer.begin(); a != by_reviewer.end(); ++a)
      for (auto b = std::next(a); b != by_reviewer.end(); ++b) {
        ValueAgreement agreement = Compare(key, *a, *b, level);
        if (agreement.cases > 0) model.values.push_back(std::move(agreement));
      }
  AddRepeatability(marked, level, model);
}

}  // namespace afterscope
