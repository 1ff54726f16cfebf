// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/verify/verify_verdict.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kMiss = 0.05, kFalseAlarm = 0.002;
constexpr double kGrossMiss = 2.5;      // half widths
constexpr double kMostPathPercent = 5;  // of a followed path
constexpr double kEqual = 1e-6;

std::string GroupOf(const Comparison& c) {
  const bool incision = c.truth.name.starts_with("incision.") && c.truth.mark;
  return incision ? fmt::format("{} {}", c.truth.name, c.truth.mark->value) : c.truth.name;
}

// The truth's distance from the value in half widths on its side; 0 for limits of no width.
double HalfWidthsOff(const Comparison& c) {
  const Estimate& e = *c.measured;
  const double half = c.truth.value > e.value ? e.high - e.value : e.value - e.low;
  return half > kEqual ? std::abs(c.difference()) / half : 0;
}

void Fail(FindingVerdict& verdict, std::string why) {
  if (verdict.why.empty()) verdict.why = std::move(why);
}

void Add(const std::string& phantom, const Comparison& c, FindingVerdict& out) {
  ++out.values;
  if (!c.measured) return Fail(out, fmt::format("{}: not computed: {}", phantom, c.why));
  out.held += c.holds;
  out.largest_off = std::max(out.largest_off, std::abs(c.difference()));
  out.worst = std::max(out.worst, HalfWidthsOff(c));
  const bool exact = c.measured->high - c.measured->low < kEqual;
  if (exact && !c.holds)
    Fail(out, fmt::format("{}: {} is not {}", phantom, c.measured->value, c.truth.value));
  if (!c.holds && HalfWidthsOff(c) > kGrossMiss)
    Fail(out, fmt::format("{}: the limits miss the truth by far", phantom));
  if (c.truth.name == "path.length" && 100 * std::abs(c.difference() / c.truth.value) > kMostPathPercent)
    Fail(out, fmt::format("{}: off by more than {} %", phantom, kMostPathPercent));
}

}  // namespace

int MostMisses(int n) {
  double term = std::pow(1 - kMiss, n), beyond = 1 - term;
  int misses = 0;
  while (beyond >= kFalseAlarm && misses < n) {
    term *= kMiss / (1 - kMiss) * (n - misses) / (misses + 1);
    ++misses;
    beyond -= term;
  }
  return misses;
}

std::vector<FindingVerdict> JudgeFindings(const std::vector<VerifiedPhantom>& phantoms) {
  std::vector<FindingVerdict> out;
  for (const VerifiedPhantom& phantom : phantoms)
    for (const Comparison& c : phantom.findings) {
      const std::string group = GroupOf(c);
      auto found =
          std::find_if(out.begin(), out.end(), [&](const FindingVerdict& v) { return v.name == group; });
      if (found == out.end()) {
        out.push_back({group, c.truth.unit, 0, 0, 0, 0, 0, {}});
        found = out.end() - 1;
      }
      Add(phantom.name, c, *found);
    }
  for (FindingVerdict& verdict : out) {
    verdict.most_misses = MostMisses(verdict.values);
    if (verdict.values - verdict.held > verdict.most_misses)
      Fail(verdict, "more limits miss the truth than chance explains");
  }
  return out;
}

bool AllPassed(const std::vector<VerifiedPhantom>& phantoms, const std::vector<FindingVerdict>& verdicts) {
  const auto pictures = [](const VerifiedPhantom& phantom) {
    return !phantom.pictures.empty() && std::all_of(phantom.pictures.begin(), phantom.pictures.end(),
                                                    [](const PictureCheck& check) { return check.passed(); });
  };
  return !phantoms.empty() && std::all_of(phantoms.begin(), phantoms.end(), pictures) &&
         std::all_of(verdicts.begin(), verdicts.end(), [](const FindingVerdict& v) { return v.passed(); });
}

}  // namespace afterscope
