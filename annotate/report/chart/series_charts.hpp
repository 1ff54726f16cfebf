// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"
#include "annotate/report/chart/chart.hpp"

namespace afterscope {

// The values of a measure in order of date: dots, joined where they are not too many, the band of the middle
// half and the median, natural limits dashed, cases that stand out ringed, the learning curve where one is
// claimed, and the change of level. With fewer than 6 points dots alone. Equal values lie on one line. No
// points: the words alone.
Chart LayMeasureChart(const SeriesMeasure& measure, const SeriesModel& model, double width, double height);

// One of a plan's cumulative sums with its limits; failures are dots that show. No points: the words alone.
Chart LayCusumChart(const SeriesCusum& cusum, const SeriesSum& said, const SeriesModel& model, double width,
                    double height);

}  // namespace afterscope
