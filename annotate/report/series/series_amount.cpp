// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/series/series_amount.hpp"

#include "annotate/report/format.hpp"

namespace afterscope {

bool IsShare(const SeriesMeasure& measure) { return measure.unit == "1" && measure.name.ends_with("_share"); }

std::string SeriesAmount(const SeriesMeasure& measure, double value) {
  if (measure.unit == "s") return FormatLength(value);
  if (IsShare(measure)) return FormatShare(value);
  return FormatEstimate({value, value, value}, measure.unit).value;
}

}  // namespace afterscope
