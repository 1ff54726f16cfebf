// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/chart/eye_chart.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

// A value every fifth of a second from `from` to `to`.
std::vector<TimedValue> Level(double from, double to, double value) {
  std::vector<TimedValue> run;
  for (double at = from; at < to; at += 0.2) run.push_back({at, value});
  return run;
}

OperationStrip TwoSteps() {
  OperationStrip strip;
  strip.start_seconds = 20, strip.end_seconds = 90;
  strip.visits = {{"Rhexis", 0, 20, 50, false}, {"A step with a name that fits nowhere", 1, 50, 52, false}};
  return strip;
}

bool HasText(const Chart& chart, const std::string& wanted) {
  return std::any_of(chart.texts.begin(), chart.texts.end(),
                     [&](const ChartText& t) { return t.text == wanted; });
}

// By hand: the values lie between 40 points from the left and 6 from the right of 546 points, for 100 s.
double TimeAt(double x) { return (x - 40) / 500 * 100; }

}  // namespace

TEST_CASE("No line and no band of the eye's chart lies in a gap", "[chart]") {
  EyeCourse course;
  course.unit = "mm";
  course.runs = {Level(10, 30, 6), Level(60, 90, 4), Level(95, 95.1, 4)};
  course.runs[0].insert(course.runs[0].begin() + 51, {20.05, 6.5});  // in one column with that at 20 s
  const Chart chart = LayEyeChart(course, {}, {"Pupil", "limit"}, 0, 100, 546, 98);
  std::size_t curves = 0;
  for (const ChartLine& line : chart.lines) {
    if (line.ink != ChartInk::kValue) continue;
    ++curves;
    for (const ChartPoint& p : line.points) {
      const double at = TimeAt(p.x);
      CHECK(((at > 9.5 && at < 30.5) || (at > 59.5 && at < 90.5)));
    }
    CHECK(std::abs(TimeAt(line.points.back().x) - TimeAt(line.points.front().x)) < 31);
  }
  CHECK(curves == 2);
  REQUIRE(chart.dots.size() == 1);  // a single value is no line
  CHECK(TimeAt(chart.dots[0].at.x) == Approx(95).margin(0.3));
  REQUIRE(chart.bands.size() == 1);  // the one column with two values that differ
  CHECK(TimeAt(chart.bands[0].x + chart.bands[0].width / 2) == Approx(20).margin(0.5));
  CHECK(chart.words == "Pupil");
}

TEST_CASE("The eye's chart has a scale with its unit, times, and the steps where their names fit",
          "[chart]") {
  EyeCourse course;
  course.unit = "mm";
  course.runs = {Level(0, 50, 6), Level(50, 100, 4)};
  const Chart chart = LayEyeChart(course, TwoSteps(), {"Pupil", "limit"}, 0, 100, 546, 98);
  CHECK(HasText(chart, "4\u00A0mm"));
  CHECK(HasText(chart, "6\u00A0mm"));
  CHECK(HasText(chart, "0:30"));
  CHECK(HasText(chart, "Rhexis"));
  CHECK_FALSE(HasText(chart, "A step with a name that fits nowhere"));
  // Boundaries at 20, 50 and 52 s: dashed and upright.
  std::vector<double> at;
  for (const ChartLine& line : chart.lines)
    if (line.dashed && line.points[0].x == line.points[1].x)
      at.push_back(std::round(TimeAt(line.points[0].x)));
  CHECK(at == std::vector<double>{20, 50, 52});
  // What is written 4 mm lies at the height of the curve at 4 mm.
  const auto four = std::find_if(chart.texts.begin(), chart.texts.end(),
                                 [](const ChartText& t) { return t.text == "4\u00A0mm"; });
  for (const ChartLine& line : chart.lines)
    if (line.ink == ChartInk::kValue && TimeAt(line.points[0].x) > 49)
      CHECK(line.points[0].y == Approx(four->at.y - 2.5).margin(0.01));
}

TEST_CASE("A limit is drawn where the values come near it, and an even pupil is not blown up", "[chart]") {
  EyeCourse course;
  course.unit = "mm";
  course.runs = {Level(0, 100, 2)};
  course.limit = 2.9;
  const auto has_limit = [](const Chart& chart) { return HasText(chart, "limit"); };
  CHECK(has_limit(LayEyeChart(course, {}, {"Eye", "limit"}, 0, 100, 546, 98)));
  CHECK(HasText(LayEyeChart(course, {}, {"Eye", "limit"}, 0, 100, 546, 98), "2\u00A0mm"));
  course.runs = {Level(0, 100, 0.3), Level(0, 100, 0.01)};
  CHECK(HasText(LayEyeChart(course, {}, {"Eye", "limit"}, 0, 100, 546, 98), "0\u00A0mm"));  // never -0
  CHECK_FALSE(has_limit(LayEyeChart(course, {}, {"Eye", "limit"}, 0, 100, 546, 98)));
  course.limit.reset();
  course.runs = {Level(0, 50, 6.00), Level(50, 100, 6.02)};
  const Chart even = LayEyeChart(course, {}, {"Pupil", "limit"}, 0, 100, 546, 98);
  std::vector<double> heights;
  for (const ChartLine& line : even.lines)
    if (line.ink == ChartInk::kValue) heights.push_back(line.points[0].y);
  REQUIRE(heights.size() == 2);
  CHECK(std::abs(heights[0] - heights[1]) < 2);  // of some 70 points of height for a millimetre or more
  CHECK(LayEyeChart({}, {}, {"Pupil", "limit"}, 0, 100, 546, 98).lines.empty());
  CHECK(LayEyeChart(course, {}, {"Pupil", "limit"}, 5, 5, 546, 98).lines.empty());
}

}  // namespace afterscope
