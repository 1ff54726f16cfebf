// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/run_chart.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr std::size_t kFewestUseful = 10;

void CountRuns(RunChart& chart, std::span<const double> values) {
  int side = 0;
  std::size_t run = 0;
  for (const double v : values) {
    if (v == chart.quartiles.median) continue;
    const int here = v > chart.quartiles.median ? 1 : -1;
    if (side != 0 && here != side) ++chart.crossings;
    run = here == side ? run + 1 : 1;
    side = here;
    ++chart.useful;
    chart.longest_run = std::max(chart.longest_run, run);
  }
}

}  // namespace

Result<RunChart> RunChartOf(std::span<const double> values) {
  AFTERSCOPE_TRY(CheckValues(values, 1, "The run chart"));
  RunChart out;
  AFTERSCOPE_ASSIGN(out.quartiles, QuartilesOf(values));
  out.method = "run chart about the median, longest run and crossings by Anhoej and Olesen 2014";
  CountRuns(out, values);
  out.judged = out.useful >= kFewestUseful;
  if (out.useful > 0) {
    out.longest_usual = static_cast<std::size_t>(std::lround(std::log2(static_cast<double>(out.useful)) + 3));
    out.fewest_usual =
        static_cast<std::size_t>(BinomialQuantile(0.05, static_cast<int>(out.useful) - 1, 0.5));
  }
  out.shift = out.judged && (out.longest_run > out.longest_usual || out.crossings < out.fewest_usual);
  return out;
}

}  // namespace afterscope
