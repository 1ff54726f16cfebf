// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/report/chart/chart_axis.hpp"
#include "annotate/report/chart/series_charts.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace afterscope {
namespace {

struct Laid {
  SeriesModel model;
  SeriesMeasure measure;
};

Laid Made(const std::vector<double>& values) {
  Laid laid;
  laid.measure.name = std::string("time.step_total");
  laid.measure.unit = std::string("s");
  std::vector<double> numbers;
  for (const double value : values) {
    SeriesCase entry;
    entry.number = static_cast<int>(numbers.size()) + 1;
    entry.date = "2024-01-01";
    laid.measure.points.push_back({laid.model.cases.size(), value, value, value, false, std::nullopt});
    laid.model.cases.push_back(entry);
    numbers.push_back(entry.number);
  }
  AnalyseMeasure(laid.measure, {numbers, 0}, 0.95);
  DescribeMeasure(laid.measure, laid.model, {});
  return laid;
}

bool IsInside(const Chart& chart) {
  const auto inside = [&](ChartPoint p) {
    return std::isfinite(p.x) && std::isfinite(p.y) && p.x >= 0 && p.x <= chart.width && p.y >= 0 &&
           p.y <= chart.height;
  };
  for (const ChartDot& dot : chart.dots)
    if (!inside(dot.at)) return false;
  for (const ChartLine& line : chart.lines)
    for (const ChartPoint& point : line.points)
      if (!inside(point)) return false;
  return true;
}

}  // namespace

TEST_CASE("In a low and narrow chart no scale numbers and no dates lie on each other", "[chart]") {
  Laid laid = Made({140, 60, 95});
  for (SeriesCase& entry : laid.model.cases) entry.code = "EYE-UNIT-NORTH-2026-000417-SECOND-EYE";
  for (const auto& [width, height] : {std::pair{150.0, 40.0}, {150.0, 60.0}, {300.0, 90.0}, {500.0, 130.0}}) {
    const Chart chart = LayMeasureChart(laid.measure, laid.model, width, height);
    double above = height;
    double from_left = 0;
    double from_right = 0;
    for (const ChartText& text : chart.texts) {
      const bool of_scale = text.anchor == ChartAnchor::kEnd && text.at.x < 46;
      if (of_scale) {
        CHECK(above - text.at.y >= 7);  // letters of 6.5 points
        above = text.at.y;
      } else {
        (text.anchor == ChartAnchor::kStart ? from_left : from_right) =
            3.6 * static_cast<double>(text.text.size());
      }
    }
    CHECK(from_left + from_right < width - 46 - 8);
  }
}

TEST_CASE("Few cases are dots alone, whatever their values", "[chart]") {
  for (const std::vector<double>& values :
       {std::vector<double>{}, {10}, {0, 0}, {10, 10, 10}, {1e-9, 1e9}, {5, 6, 7, 8, 9}}) {
    const Laid laid = Made(values);
    const Chart chart = LayMeasureChart(laid.measure, laid.model, 400, 100);
    CHECK(chart.dots.size() == values.size());
    CHECK(chart.bands.empty());
    CHECK(IsInside(chart));
  }
}

TEST_CASE("A falling series shows its curve, an outlier a ring", "[chart]") {
  std::vector<double> values;
  for (int n = 1; n <= 40; ++n) values.push_back(600 * std::pow(n, -0.25) + (n % 2 ? 5 : -5));
  values[30] = 900;
  const Laid laid = Made(values);
  const Chart chart = LayMeasureChart(laid.measure, laid.model, 400, 100);
  CHECK(IsInside(chart));
  CHECK(chart.bands.size() == 1);
  CHECK(chart.dots.size() > values.size());
  bool curve = false;
  for (const ChartLine& line : chart.lines) curve |= line.ink == ChartInk::kCurve;
  CHECK(curve);
}

TEST_CASE("Ticks are round and lie within", "[chart]") {
  CHECK(RoundTicks(0, 100, 4, false) == std::vector<double>{0, 50, 100});
  CHECK(RoundTicks(0, 100, 4, true) == std::vector<double>{0, 30, 60, 90});
  CHECK(RoundTicks(1, 1, 4, false).empty());
  CHECK(RoundTicks(0, NAN, 4, false).empty());
  CHECK(RoundTicks(-1, 1, 4, false).size() == 5);
}

}  // namespace afterscope
