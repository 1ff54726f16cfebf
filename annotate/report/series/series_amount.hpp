// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"

#include <string>

namespace afterscope {

// Whether a figure is a share of something, which a reader is shown in per cent.
bool IsShare(const SeriesMeasure& measure);

// A value of a figure as a reader sees it: "32.4 s", "1:32.4", "98 %", "5.12 mm".
std::string SeriesAmount(const SeriesMeasure& measure, double value);

}  // namespace afterscope
