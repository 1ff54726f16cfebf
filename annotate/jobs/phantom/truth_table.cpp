// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/truth_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>

namespace afterscope {
namespace {

// What a table for people shows; everything is in the truth files.
constexpr const char* kMain[] = {
    "time.whole",
    "rhexis.diameter_largest",
    "rhexis.diameter_smallest",
    "rhexis.diameter_equivalent",
    "rhexis.circularity",
    "rhexis.off_pupil",
    "rhexis.off_limbus",
    "rhexis.over_optic.diameter_equivalent",
    "rhexis.over_optic.overlap_least",
    "pupil.diameter",
    "incision.width",
    "path.length",
    "path.speed_peak",
    "path.movements",
    "path.area",
    "path.tip_still",
    "path.outside_centre",
    "rhexis.regrasps",
    "rhexis.over_optic.hidden_share",
    "pupil.followed_least",
    "eye.off_centre",
    "eye.turn_range",
    "eye.tilt_change",
};

bool IsMain(const TrueValue& truth) {
  if (truth.name == "time.step_total") return truth.step == "rhexis" && !truth.operator_code;
  return std::any_of(std::begin(kMain), std::end(kMain),
                     [&](const char* name) { return truth.name == name; });
}

std::string Row(const std::string& code, const Comparison& row) {
  const std::string name = NameOf(row);
  if (!row.measured)
    return fmt::format("{:<9} {:<42} {:>9.3f} {:>9} {:>19}  {:<5} {}\n", code, name, row.truth.value, "-", "",
                       row.truth.unit, row.why);
  const Estimate& m = *row.measured;
  return fmt::format("{:<9} {:<42} {:>9.3f} {:>9.3f} {:>9.3f} {:>9.3f}  {:<5} {}\n", code, name,
                     row.truth.value, m.value, m.low, m.high, row.truth.unit, row.holds ? "holds" : "MISSES");
}

// The worst over all cases of the findings that `which` takes, by `off`.
double Worst(const std::vector<CheckedCase>& cases, const std::function<bool(const TrueValue&)>& which,
             const std::function<double(const Comparison&)>& off) {
  double worst = 0;
  for (const CheckedCase& one : cases)
    for (const Comparison& row : one.comparisons)
      if (row.measured && which(row.truth)) worst = std::max(worst, off(row));
  return worst;
}

double Absolute(const Comparison& row) { return std::abs(row.difference()); }
double Percent(const Comparison& row) { return 100 * std::abs(row.difference() / row.truth.value); }

bool StartsWith(const TrueValue& truth, const char* start) { return truth.name.rfind(start, 0) == 0; }

}  // namespace

std::string MainFindingsTable(const std::vector<CheckedCase>& cases) {
  std::string table = fmt::format("{:<9} {:<42} {:>9} {:>9} {:>19}  {:<5} {}\n", "case", "finding", "true",
                                  "measured", "95 % limits", "unit", "");
  for (const CheckedCase& one : cases)
    for (const Comparison& row : one.comparisons)
      if (IsMain(row.truth)) table += Row(one.code, row);
  return table;
}

std::string TruthSummary(const std::vector<CheckedCase>& cases) {
  Coverage all;
  Coverage continuous;
  for (const CheckedCase& one : cases)
    for (const Comparison& row : one.comparisons) {
      if (!row.measured) continue;
      const bool wide = row.measured->high > row.measured->low;
      for (Coverage* coverage : {&all, wide ? &continuous : nullptr}) {
        if (!coverage) continue;
        ++coverage->all;
        coverage->held += row.holds ? 1 : 0;
      }
    }
  const auto times = [](const TrueValue& t) { return StartsWith(t, "time.") && t.unit == "s"; };
  std::string text;
  text += fmt::format("Largest departure from the truth, over {} cases:\n", cases.size());
  text += fmt::format("  step times            {:.4f} s\n", Worst(cases, times, Absolute));
  for (const char* which : {"equivalent", "largest", "smallest"})
    text += fmt::format(
        "  rhexis, {:<13} {:.2f} %\n", which,
        Worst(
            cases, [&](const TrueValue& t) { return t.name == std::string("rhexis.diameter_") + which; },
            Percent));
  text +=
      fmt::format("  circularity           {:.4f}\n",
                  Worst(
                      cases, [](const TrueValue& t) { return t.name == "rhexis.circularity"; }, Absolute));
  text += fmt::format("  centration            {:.3f} mm\n",
                      Worst(
                          cases, [](const TrueValue& t) { return StartsWith(t, "rhexis.off_"); }, Absolute));
  text += fmt::format("  path length           {:.2f} %\n",
                      Worst(
                          cases, [](const TrueValue& t) { return t.name == "path.length"; }, Percent));
  text += fmt::format(
      "Limits that hold the truth: {} of {} ({:.1f} %); of those with a width, {} of {} ({:.1f} %).\n",
      all.held, all.all, 100 * all.share(), continuous.held, continuous.all, 100 * continuous.share());
  return text;
}

}  // namespace afterscope
