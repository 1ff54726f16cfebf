// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

enum class Outcome : unsigned char { kSuccess, kFailure };

// What a cumulative sum says at a case.
enum class CusumSignal {
  kNone,        // no limit reached
  kWorse,       // the failures are too many for the acceptable rate
  kAcceptable,  // the failures are few enough to rule out the unacceptable rate
  kBetter,      // the failures are too few for the usual rate
  kLearned,     // inadequate performance is ruled out
};

struct CusumPoint {
  double score = 0;                         // what is drawn
  CusumSignal signal = CusumSignal::kNone;  // the limit that this case reached
  double from = 0;  // the score at the last decision before this case: where the limits are drawn from
};

// A cumulative sum over cases in order of time, of any kind. After a signal it starts anew, so that later
// signals count too.
struct CusumChart {
  std::vector<CusumPoint> points;
  std::optional<double> upper;  // limits, as distances from `from` (the score itself where `from` is 0)
  std::optional<double> lower;
  CusumSignal latest = CusumSignal::kNone;  // the last signal, if any
  std::optional<std::size_t> latest_case;   // where, counted from 0
  std::optional<std::size_t> first_case;    // where the first signal was
  std::string method;
  std::vector<std::string> cautions;
};

// Notes a signal of the last point in the chart's summary.
void NoteSignal(CusumChart& chart);

}  // namespace afterscope
