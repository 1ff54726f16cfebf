// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/sections/earlier_text.hpp"

#include "annotate/report/build/parts.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

namespace afterscope {

std::string EarlierText(const ReportModel& model, const EarlierTimes& earlier) {
  const std::string median = FormatLength(earlier.median_seconds);
  if (earlier.cases == 1) return FillBraces(model.words.Text("steps.earlier.one"), {median});
  return FillBraces(model.words.Text("steps.earlier.many"),
                    {median, FormatLength(earlier.low_seconds), FormatLength(earlier.high_seconds),
                     fmt::format("{}", earlier.cases)});
}

}  // namespace afterscope
