// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/sequential_cusum.hpp"

#include <fmt/format.h>

#include <cmath>

namespace afterscope {
namespace {

std::string Words(const CusumChart& chart, const SequentialDesign& d) {
  if (chart.points.empty()) return "There are no cases yet.";
  switch (chart.latest) {
    case CusumSignal::kWorse:
      return fmt::format("At case {} the failures became too many for a rate of {:g} %: look for the reason.",
                         *chart.latest_case + 1, 100 * d.acceptable);
    case CusumSignal::kAcceptable:
      return fmt::format("By case {} the failures were few enough to rule out a rate of {:g} %: acceptable.",
                         *chart.latest_case + 1, 100 * d.unacceptable);
    default:
      return fmt::format("{} case{} decide{} nothing yet: neither {:g} % nor {:g} % is ruled out.",
                         chart.points.size(), chart.points.size() == 1 ? "" : "s",
                         chart.points.size() == 1 ? "s" : "", 100 * d.acceptable, 100 * d.unacceptable);
  }
}

}  // namespace

Result<SequentialLimits> SequentialLimitsOf(const SequentialDesign& d) {
  if (!(d.acceptable > 0 && d.acceptable < d.unacceptable && d.unacceptable < 1))
    return Error{
        ErrorCode::kBadCall,
        "The acceptable failure rate must lie above 0 and below the unacceptable one, and that below 1."};
  if (!(d.alpha > 0 && d.beta > 0 && d.alpha + d.beta < 1))
    return Error{ErrorCode::kBadCall,
                 "The two risks of a wrong decision must lie above 0 and add up to less than 1."};
  const double p = std::log(d.unacceptable / d.acceptable);
  const double q = std::log((1 - d.acceptable) / (1 - d.unacceptable));
  SequentialLimits out;
  out.s = q / (p + q);
  out.acceptable = std::log((1 - d.alpha) / d.beta) / (p + q);
  out.unacceptable = std::log((1 - d.beta) / d.alpha) / (p + q);
  out.successes_to_acceptable = static_cast<int>(std::ceil(out.acceptable / out.s));
  return out;
}

Result<CusumChart> SequentialCusum(std::span<const Outcome> outcomes, const SequentialDesign& design) {
  AFTERSCOPE_ASSIGN(const SequentialLimits limits, SequentialLimitsOf(design));
  CusumChart out;
  out.upper = limits.unacceptable;
  out.lower = -limits.acceptable;
  double score = 0;
  double from = 0;
  for (const Outcome outcome : outcomes) {
    score += outcome == Outcome::kFailure ? 1 - limits.s : -limits.s;
    CusumSignal signal = CusumSignal::kNone;
    if (score - from >= limits.unacceptable) signal = CusumSignal::kWorse;
    if (score - from <= -limits.acceptable) signal = CusumSignal::kAcceptable;
    out.points.push_back({score, signal, from});
    if (signal != CusumSignal::kNone) from = score;
    NoteSignal(out);
  }
  out.design = fmt::format(
      "Acceptable {:g} %, unacceptable {:g} %. Each failure adds {:.4f}, each success takes off {:.4f} (s). "
      "{:.3f} "
      "above the last decision (h1) the rate is called unacceptable, wrongly with a chance of about {:g} % "
      "(alpha); "
      "{:.3f} below it (h0) acceptable, wrongly with a chance of about {:g} % (beta).",
      100 * design.acceptable, 100 * design.unacceptable, 1 - limits.s, limits.s, limits.unacceptable,
      100 * design.alpha, limits.acceptable, 100 * design.beta);
  out.words = Words(out, design);
  out.method = "cumulative sum as a sequential test (Wald)";
  return out;
}

}  // namespace afterscope
