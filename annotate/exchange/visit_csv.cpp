// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/visit_csv.hpp"

#include "annotate/case/visits.hpp"
#include "annotate/exchange/csv.hpp"

#include <fmt/format.h>

#include <cmath>

namespace afterscope {
namespace {

constexpr double kMillion = 1e6;
constexpr double kNoise = 1e-3;  // of a millionth: what binary arithmetic may have added

std::string UpToMillionth(double seconds) {
  const double up = std::ceil(seconds * kMillion - kNoise) / kMillion;
  return fmt::format("{:.6f}", up + 0.0);  // no minus before a zero
}

}  // namespace

std::string CsvFromVisits(const Review& review, const StepList& steps, const CaseClock& clock) {
  std::string table = CsvLine({"step", "name", "start", "end", "taken_over", "recording", "ticks"});
  for (const StepVisit& visit : review.visits) {
    if (visit.lane != 0) continue;
    table += CsvLine(
        {CsvText(visit.step), CsvText(steps.NameOf(visit.step)), UpToMillionth(clock.Seconds(visit.start)),
         UpToMillionth(clock.Seconds(EndOf(review, visit, clock.end()))), visit.taken_over ? "yes" : "",
         fmt::format("{}", visit.start.recording), fmt::format("{}", visit.start.pts.ticks)});
  }
  return table;
}

}  // namespace afterscope
