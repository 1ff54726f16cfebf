// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/sequential_cusum.hpp"

#include <cmath>

namespace afterscope {

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
  out.method = "cumulative sum as a sequential test (Wald)";
  return out;
}

}  // namespace afterscope
