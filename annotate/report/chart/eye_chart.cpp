// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/chart/eye_chart.hpp"

#include "annotate/report/chart/chart_axis.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace afterscope {
namespace {

constexpr double kLeftRoom = 40, kRightRoom = 6, kNameRoom = 11, kTimeRoom = 13;
constexpr double kColumn = 1.5;       // points: what falls into one is shown as one
constexpr double kLetterWide = 3.9;   // about, of the charts' texts
constexpr double kBoundaryApart = 2;  // of two step boundaries, at least
constexpr double kLeastSpanMm = 1;    // of the scale
constexpr double kLeastSpanShare = 0.1;
constexpr double kNearLimit = 2.5;  // times the largest value
constexpr double kNearZero = 0.35;  // of the largest value: a smallest one below begins the scale at 0
constexpr double kNameUnder = 8;    // points: from a line to the base of words under it
constexpr double kTimeApart = 60;   // of two times of the axis, about
constexpr double kBandOver = 0.15;  // by which columns of the band overlap, so that no seam shows

std::size_t Letters(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

// What a column of the chart shows of one run.
struct EyeColumn {
  double x = 0, low = 0, middle = 0, high = 0;
};

class EyeChart {
 public:
  EyeChart(const EyeCourse& course, double from, double to, double width, double height)
      : course_(course), from_(from), to_(to) {
    chart_.width = width, chart_.height = height;
    SetRange();
  }

  Chart Lay(const OperationStrip& strip, const EyeChartWords& words) {
    AddAxis();
    AddSteps(strip);
    AddTimes();
    if (course_.limit && *course_.limit <= high_) AddLimit(words.limit_name);
    for (const auto& run : course_.runs) AddRun(run);
    return std::move(chart_);
  }

 private:
  double Right() const { return chart_.width - kRightRoom; }
  double Bottom() const { return chart_.height - kTimeRoom; }
  double X(double seconds) const {
    return kLeftRoom + (Right() - kLeftRoom) * (seconds - from_) / (to_ - from_);
  }
  double Y(double value) const {
    return kNameRoom + (Bottom() - kNameRoom) * (high_ - value) / (high_ - low_);
  }

  void SetRange() {
    low_ = high_ = course_.First().value;
    for (const auto& run : course_.runs)
      for (const TimedValue& v : run) low_ = std::min(low_, v.value), high_ = std::max(high_, v.value);
    most_ = high_;
    if (course_.limit && *course_.limit <= kNearLimit * high_) high_ = std::max(high_, *course_.limit);
    const double least = course_.unit == "mm" ? kLeastSpanMm : std::max(1.0, kLeastSpanShare * high_);
    if (const double lacking = least - (high_ - low_); lacking > 0) low_ -= lacking / 2, high_ += lacking / 2;
    if (low_ < kNearZero * high_) low_ = 0;
    const double room = 0.06 * (high_ - low_);
    high_ += room;
    if (low_ > 0) low_ = std::max(0.0, low_ - room);
  }

  void AddAxis() {
    const int about = std::clamp(static_cast<int>((Bottom() - kNameRoom) / 16), 1, 4);
    for (const double tick : RoundTicks(low_, high_, about, false)) {
      chart_.lines.push_back({{{kLeftRoom, Y(tick)}, {Right(), Y(tick)}}, ChartInk::kHair, 0.5, false});
      chart_.texts.push_back({{kLeftRoom - 5, Y(tick) + 2.5},
                              WithUnit(fmt::format("{:.6g}", tick == 0 ? 0 : tick), course_.unit),
                              ChartAnchor::kEnd});
    }
  }

  void AddSteps(const OperationStrip& strip) {
    std::set<double> edges;
    for (const StripVisit& visit : strip.visits)
      for (const double at : {visit.start_seconds, visit.end_seconds})
        if (at >= from_ && at <= to_) edges.insert(X(at));
    double last = -1e9;
    for (const double x : edges) {
      if (x - last < kBoundaryApart) continue;
      chart_.lines.push_back({{{x, kNameRoom - 8}, {x, Bottom()}}, ChartInk::kHair, 0.5, true});
      last = x;
    }
    for (const StripVisit& visit : strip.visits) {
      const double left = X(std::clamp(visit.start_seconds, from_, to_)),
                   right = X(std::clamp(visit.end_seconds, from_, to_));
      if (kLetterWide * static_cast<double>(Letters(visit.step_name)) + 4 > right - left) continue;
      chart_.texts.push_back({{(left + right) / 2, kNameRoom - 3}, visit.step_name, ChartAnchor::kMiddle});
    }
  }

  void AddTimes() {
    chart_.lines.push_back({{{kLeftRoom, Bottom()}, {Right(), Bottom()}}, ChartInk::kSoft, 0.5, false});
    const int about = std::max(1, static_cast<int>((Right() - kLeftRoom) / kTimeApart));
    for (const double at : RoundTicks(from_, to_, about, true)) {
      std::string text = FormatClock(at);
      if (at == std::floor(at)) text.resize(text.size() - 3);  // whole seconds
      const double x = X(at);
      chart_.lines.push_back({{{x, Bottom()}, {x, Bottom() + 2.5}}, ChartInk::kSoft, 0.5, false});
      const ChartAnchor anchor = x < kLeftRoom + 8 ? ChartAnchor::kStart
                                 : x > Right() - 8 ? ChartAnchor::kEnd
                                                   : ChartAnchor::kMiddle;
      chart_.texts.push_back({{x, chart_.height - 2.5}, std::move(text), anchor});
    }
  }

  void AddLimit(const std::string& name) {
    const double y = Y(*course_.limit);
    chart_.lines.push_back({{{kLeftRoom, y}, {Right(), y}}, ChartInk::kSoft, 0.6, true});
    const bool below = Y(most_) > y + kNameUnder + 2;  // clear of the curve, and of the scale's line above
    chart_.texts.push_back({{Right() - 2, below ? y + kNameUnder : y - 2}, name, ChartAnchor::kEnd});
  }

  std::vector<EyeColumn> Columns(const std::vector<TimedValue>& run) const {
    std::vector<EyeColumn> out;
    for (std::size_t i = 0; i < run.size();) {
      const double number = std::floor((X(run[i].seconds) - kLeftRoom) / kColumn);
      std::vector<double> values;
      for (; i < run.size() && std::floor((X(run[i].seconds) - kLeftRoom) / kColumn) <= number; ++i)
        values.push_back(run[i].value);
      std::sort(values.begin(), values.end());
      out.push_back(
          {kLeftRoom + (number + 0.5) * kColumn, values.front(), values[values.size() / 2], values.back()});
    }
    return out;
  }

  void AddRun(const std::vector<TimedValue>& run) {
    const std::vector<EyeColumn> columns = Columns(run);
    ChartLine line{{}, ChartInk::kValue, 1, false};
    for (const EyeColumn& column : columns) {
      line.points.push_back({column.x, Y(column.middle)});
      if (column.high > column.low)
        chart_.bands.push_back({column.x - kColumn / 2 - kBandOver, Y(column.high), kColumn + 2 * kBandOver,
                                Y(column.low) - Y(column.high), ChartInk::kBand});
    }
    if (columns.size() > 1)
      chart_.lines.push_back(std::move(line));
    else
      chart_.dots.push_back({line.points.front(), 0.8, ChartInk::kValue, true, std::nullopt});
  }

  const EyeCourse& course_;
  double from_, to_;
  double low_ = 0, high_ = 1, most_ = 1;  // of the scale; the largest value
  Chart chart_;
};

}  // namespace

Chart LayEyeChart(const EyeCourse& course, const OperationStrip& strip, const EyeChartWords& words,
                  double from_seconds, double to_seconds, double width, double height) {
  Chart chart;
  if (!course.Empty() && from_seconds < to_seconds)
    chart = EyeChart(course, from_seconds, to_seconds, width, height).Lay(strip, words);
  chart.width = width, chart.height = height;
  chart.words = words.title;
  return chart;
}

}  // namespace afterscope
