// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"
#include "annotate/report/chart/chart.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What can be chosen of a series: first every figure that a case has, then the cumulative sums, each in the
// forms in which it could be computed, then what is said of all cases in words alone. Pure.
struct SeriesFigure {
  std::string name;  // stays the same when other cases are looked at
  std::string label;
  std::string count;                   // how many cases it has
  std::optional<std::size_t> measure;  // in the model
  std::optional<std::size_t> cusum;
  SeriesSum SeriesCusum::*sum = &SeriesCusum::sequential;        // which of its sums
  std::vector<std::string> SeriesModel::*words_alone = nullptr;  // there is no chart
};
std::vector<SeriesFigure> FiguresOf(const SeriesModel& model);

Chart ChartOf(const SeriesFigure& figure, const SeriesModel& model, double width_pt, double height_pt);
// The sentences under the chart: trend, limits, too few cases ...
std::vector<std::string> SentencesOf(const SeriesFigure& figure, const SeriesModel& model);
// What its chart's dots, lines and bands are; empty: it says so itself.
std::string LegendOf(const SeriesFigure& figure, const SeriesModel& model);

// The case behind a point of the figure's chart and where in it to look; null where there is no such point.
struct SeriesSpot {
  const SeriesCase* entry = nullptr;
  std::optional<FrameRef> frame;
  std::string words;  // "S02-318, 2026-02-09, right eye: 2:05.0"
};
SeriesSpot SpotOf(const SeriesFigure& figure, const SeriesModel& model, std::size_t point);
std::size_t PointCount(const SeriesFigure& figure, const SeriesModel& model);

}  // namespace afterscope
