// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/finding_text.hpp"

#include "app/desktop/look/clock_text.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr double kLeastPerCent = 0.5;  // half width that a share is said to

// The last words of a name where no label is known: "diameter_largest.as_seen" -> "diameter largest as seen".
std::string SpelledOut(const std::string& name) {
  std::string words = name.substr(std::min(name.size(), name.find('.') + 1));
  std::replace(words.begin(), words.end(), '_', ' ');
  std::replace(words.begin(), words.end(), '.', ' ');
  return words;
}

bool IsLengthOfTime(const std::string& unit) { return unit == "s"; }

std::string UnitText(const std::string& unit) {
  if (unit == "1" || unit == "count") return {};
  if (unit == "mm2") return " mm²";
  if (unit == "deg") return "°";
  if (unit == "clock hour") return " o’clock";
  return " " + unit;
}

// Shares are said in per cent.
bool IsShare(const Finding& finding) {
  return finding.measured.unit == "1" && finding.name.ends_with("share");
}

// In per cent, to a tenth at most: more says nothing to anyone.
std::string PerCent(double share, const Estimate& e) {
  const double half = std::max(50 * (e.high - e.low), kLeastPerCent);
  return ValueText(100 * share, 100 * share - half, 100 * share + half);
}

}  // namespace

std::string FindingLabelText(const FindingLabels& labels, const std::string& name) {
  const auto found = labels.find(name);
  return found == labels.end() ? SpelledOut(name) : found->second;
}

std::string FindingValueText(const Finding& finding) {
  const Estimate& e = *finding.measured.estimate;
  if (IsLengthOfTime(finding.measured.unit)) return LengthText(e.value);
  if (finding.measured.unit == "count") return fmt::format("{:.0f}", e.value);
  if (IsShare(finding)) return PerCent(e.value, e) + " %";
  return ValueText(e.value, e.low, e.high) + UnitText(finding.measured.unit);
}

std::string FindingLimitsText(const Finding& finding) {
  const Estimate& e = *finding.measured.estimate;
  if (!(e.high > e.low) || IsLengthOfTime(finding.measured.unit)) return {};
  if (IsShare(finding)) return PerCent(e.low, e) + " – " + PerCent(e.high, e);
  return ValueText(e.low, e.low, e.high) + " – " + ValueText(e.high, e.low, e.high);
}

}  // namespace afterscope
