// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/measure/eye_over_time.hpp"
#include "annotate/report/chart/chart.hpp"
#include "annotate/report/report_model.hpp"

#include <string>

namespace afterscope {

struct EyeChartWords {
  std::string title;       // for those who can't see it
  std::string limit_name;  // stands at the line of the limit
};

// A quantity of the eye between two times of the case clock: the middle value of each narrow column of the
// chart joined to a line, over a pale band from the smallest to the largest; a gap is never crossed. Where
// steps begin or end stand dashed lines, with their names where these fit. The scale shows the values alone
// unless 0 is near, and spans a millimetre (a tenth of the largest value, in pixels) at least. The limit is
// drawn where it is near the values. No values: the words alone.
Chart LayEyeChart(const EyeCourse& course, const OperationStrip& strip, const EyeChartWords& words,
                  double from_seconds, double to_seconds, double width, double height);

}  // namespace afterscope
