// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/chart/series_charts.hpp"

#include "annotate/report/chart/chart_axis.hpp"
#include "annotate/report/format.hpp"
#include "annotate/report/series/series_amount.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

namespace afterscope {
namespace {

constexpr double kLeft = 46;
constexpr double kRight = 8;
constexpr double kTop = 6;
constexpr double kBottom = 18;
constexpr double kInset = 6;           // between the first and last place and the ends of the lines
constexpr double kApart = 12;          // of two scale numbers under each other, at least
constexpr double kLetter = 4;          // about what a letter of the charts' texts is wide
constexpr double kLeastSeconds = 0.5;  // that the scale of times spans
constexpr double kLeastShare = 0.02;   // of a scale of shares beyond the values; never beyond all or nothing
constexpr std::size_t kFewestForLines = 6;
constexpr double kWithinLine = 0.6;       // a dot that can be pointed at, but does not show
constexpr std::size_t kManyDots = 400;    // more are drawn smaller
constexpr std::size_t kMostJoined = 120;  // more dots are not joined by a line

std::string WhenOf(const SeriesCase& entry) {
  if (entry.date.empty()) return entry.code;
  return entry.code.empty() ? entry.date : fmt::format("{}, {}", entry.date, entry.code);
}

// Where values lie in the chart.
class Frame {
 public:
  Frame(Chart& chart, std::size_t count, double low, double high)
      : chart_(chart), count_(count), low_(low), high_(high) {
    if (!(low_ < high_)) {
      const double room = low_ == 0 ? 1 : std::fabs(low_) * 0.1;
      low_ -= room;
      high_ += room;
    }
  }
  double X(double place) const {
    const double width = chart_.width - kLeft - kRight - 2 * kInset;
    return kLeft + kInset + (count_ < 2 ? width / 2 : width * place / static_cast<double>(count_ - 1));
  }
  double Y(double value) const {
    const double height = chart_.height - kTop - kBottom;
    return kTop + height * (high_ - value) / (high_ - low_);
  }
  double left() const { return kLeft; }
  double right() const { return chart_.width - kRight; }
  double bottom() const { return chart_.height - kBottom; }
  double low() const { return low_; }
  double high() const { return high_; }

  void Level(double value, ChartInk ink, double width, bool dashed) const {
    if (value < low_ || value > high_) return;
    chart_.lines.push_back({{{left(), Y(value)}, {right(), Y(value)}}, ink, width, dashed});
  }
  // `text` says a scale number.
  void Axis(bool seconds, const std::function<std::string(double)>& text) const {
    const double room = std::max(0.0, bottom() - kTop);
    double last = std::numeric_limits<double>::infinity();
    for (const double tick :
         RoundTicks(low_, high_, std::clamp(static_cast<int>(room / kApart), 1, 4), seconds)) {
      Level(tick, ChartInk::kHair, 0.5, false);
      if (last - Y(tick) < kApart) continue;
      last = Y(tick);
      const double shown = tick == 0 ? 0 : tick;  // never -0
      chart_.texts.push_back({{kLeft - 5, Y(tick) + 2.5}, text(shown), ChartAnchor::kEnd});
    }
  }
  // When the first and the last one were and which, or only when where there is no room for both.
  void Ends(const SeriesCase& first, const SeriesCase& last) const {
    const double y = chart_.height - 4;
    const double wide = kLetter * static_cast<double>(WhenOf(first).size() + WhenOf(last).size() + 3);
    const bool roomy = count_ < 2 || wide < right() - left();
    const auto words = [&](const SeriesCase& entry) { return roomy ? WhenOf(entry) : entry.date; };
    chart_.texts.push_back({{left(), y}, words(first), ChartAnchor::kStart});
    if (count_ > 1) chart_.texts.push_back({{right(), y}, words(last), ChartAnchor::kEnd});
  }

 private:
  Chart& chart_;
  std::size_t count_;
  double low_;
  double high_;
};

std::string ScaleNumber(double value, const std::string& unit) {
  return WithUnit(fmt::format("{:.6g}", value), unit);
}

bool HasLines(const SeriesMeasure& measure) { return measure.points.size() >= kFewestForLines; }

std::pair<double, double> RangeOf(const SeriesMeasure& measure) {
  double low = measure.points.front().value;
  double high = low;
  for (const SeriesPoint& point : measure.points) {
    low = std::min(low, point.value);
    high = std::max(high, point.value);
  }
  if (measure.unit == "s" && low > 0 && low < 0.5 * high) low = 0;
  if (HasLines(measure) && measure.control_chart.value) {
    const double room = 0.25 * (high - low);
    low = std::max(low - room, std::min(low, measure.control_chart.value->lower));
    high = std::min(high + room, std::max(high, measure.control_chart.value->upper));
  }
  // Times are read in tenths of a second: no two scale numbers alike.
  if (measure.unit == "s" && high - low < kLeastSeconds) {
    const double lacking = kLeastSeconds - (high - low);
    low = std::max(std::min(low, 0.0), low - lacking / 2);
    high = low + kLeastSeconds;
  }
  if (IsShare(measure)) return {std::max(0.0, low - kLeastShare), std::min(1.0, high + kLeastShare)};
  // A dot at the edge, with the ring round it, stays clear of the words below.
  const double room = 0.06 * (high - low);
  return {low == 0 ? 0 : low - room, high + room};
}

void DrawLevels(Chart& chart, const Frame& frame, const SeriesMeasure& measure) {
  if (!HasLines(measure) || !measure.quartiles.value) return;
  const Quartiles& q = *measure.quartiles.value;
  chart.bands.push_back({frame.left(), frame.Y(q.upper), frame.right() - frame.left(),
                         std::max(0.5, frame.Y(q.lower) - frame.Y(q.upper)), ChartInk::kBand});
  frame.Level(q.median, ChartInk::kInk, 1, false);
  if (!measure.control_chart.value) return;
  frame.Level(measure.control_chart.value->lower, ChartInk::kSoft, 0.75, true);
  frame.Level(measure.control_chart.value->upper, ChartInk::kSoft, 0.75, true);
}

void DrawCurve(Chart& chart, const Frame& frame, const SeriesMeasure& measure, const SeriesModel& model) {
  const auto& learning = measure.learning.value;
  const bool claimed =
      learning && learning->curve &&
      (learning->verdict == LearningVerdict::kFalling || learning->verdict == LearningVerdict::kRising);
  if (!claimed) return;
  ChartLine line{{}, ChartInk::kCurve, 1.5, false};
  for (std::size_t i = 0; i < measure.points.size(); ++i) {
    const double value = learning->curve->At(model.cases[measure.points[i].at].number);
    if (value >= frame.low() && value <= frame.high())
      line.points.push_back({frame.X(static_cast<double>(i)), frame.Y(value)});
  }
  if (line.points.size() > 1) chart.lines.push_back(std::move(line));
}

void DrawChange(Chart& chart, const Frame& frame, const SeriesMeasure& measure) {
  if (!HasLines(measure) || !measure.change.value || measure.change.value->p >= 0.05) return;
  const double x = frame.X(static_cast<double>(measure.change.value->last_before) - 0.5);
  chart.lines.push_back({{{x, kTop}, {x, frame.bottom()}}, ChartInk::kSoft, 0.75, true});
}

bool StandsOut(const SeriesMeasure& measure, std::size_t i) {
  if (!HasLines(measure) || !measure.control_chart.value) return false;
  const auto& points = measure.control_chart.value->points;
  return i < points.size() && !points[i].rules.empty() &&
         points[i].rules.front() == ControlRule::kBeyondLimit;
}

void JoinPoints(Chart& chart, const Frame& frame, const SeriesMeasure& measure) {
  if (!HasLines(measure) || measure.points.size() > kMostJoined) return;
  ChartLine line{{}, ChartInk::kSoft, 0.4, false};
  for (std::size_t i = 0; i < measure.points.size(); ++i)
    line.points.push_back({frame.X(static_cast<double>(i)), frame.Y(measure.points[i].value)});
  chart.lines.push_back(std::move(line));
}

// Where groups are compared, the cases of others than the reference group are squares.
bool IsOfOthers(const SeriesModel& model, const SeriesCase& entry) {
  return model.groups.size() > 1 && !entry.group.empty() && entry.group != model.groups.front();
}

void DrawPoints(Chart& chart, const Frame& frame, const SeriesMeasure& measure, const SeriesModel& model) {
  const double radius = measure.points.size() > kManyDots ? 1 : 2;
  for (std::size_t i = 0; i < measure.points.size(); ++i) {
    const SeriesPoint& point = measure.points[i];
    const ChartPoint at{frame.X(static_cast<double>(i)), frame.Y(point.value)};
    chart.dots.push_back(
        {at, radius, ChartInk::kValue, !point.shared, i, IsOfOthers(model, model.cases[point.at])});
    if (StandsOut(measure, i))
      chart.dots.push_back({at, radius + 2.2, ChartInk::kAlarm, false, std::nullopt});
  }
}

}  // namespace

Chart LayMeasureChart(const SeriesMeasure& measure, const SeriesModel& model, double width, double height) {
  Chart chart;
  chart.width = width;
  chart.height = height;
  chart.words = measure.label;
  for (const std::string& sentence : measure.said) chart.words.append(". ").append(sentence);
  if (measure.points.empty()) return chart;
  const auto [low, high] = RangeOf(measure);
  const Frame frame(chart, measure.points.size(), low, high);
  DrawLevels(chart, frame, measure);
  frame.Axis(measure.unit == "s", [&](double value) {
    return measure.unit == "s" ? FormatLength(value)
           : IsShare(measure)  ? FormatShare(value)
                               : ScaleNumber(value, measure.unit);
  });
  DrawChange(chart, frame, measure);
  DrawCurve(chart, frame, measure, model);
  JoinPoints(chart, frame, measure);
  DrawPoints(chart, frame, measure, model);
  frame.Ends(model.cases[measure.points.front().at], model.cases[measure.points.back().at]);
  return chart;
}

Chart LayCusumChart(const SeriesCusum& cusum, const SeriesSum& said, const SeriesModel& model, double width,
                    double height) {
  Chart chart;
  chart.width = width;
  chart.height = height;
  chart.words = cusum.plan.title;
  if (!said.chart.value || said.chart.value->points.empty()) return chart;
  const CusumChart& sum = *said.chart.value;
  chart.words.append(". ").append(said.meaning);
  double low = 0;
  double high = 0;
  for (const CusumPoint& point : sum.points) {
    low = std::min({low, point.score, point.from + sum.lower.value_or(0)});
    high = std::max({high, point.score, point.from + sum.upper.value_or(0)});
  }
  const Frame frame(chart, sum.points.size() + 1, low * 1.05, high * 1.05);
  frame.Axis(false, [](double value) { return ScaleNumber(value, "1"); });
  ChartLine line{{{frame.X(0), frame.Y(0)}}, ChartInk::kInk, 2 * kWithinLine, false};
  ChartLine upper{{}, ChartInk::kSoft, 0.75, true};
  ChartLine lower{{}, ChartInk::kSoft, 0.75, true};
  for (std::size_t i = 0; i < sum.points.size(); ++i) {
    const CusumPoint& point = sum.points[i];
    const double x = frame.X(static_cast<double>(i) + 1);
    line.points.push_back({x, frame.Y(point.score)});
    if (sum.upper) upper.points.push_back({x, frame.Y(point.from + *sum.upper)});
    if (sum.lower) lower.points.push_back({x, frame.Y(point.from + *sum.lower)});
    const bool failed = cusum.outcomes[i] == Outcome::kFailure;
    chart.dots.push_back({{x, frame.Y(point.score)},
                          failed ? 2.2 : kWithinLine,
                          failed ? ChartInk::kAlarm : ChartInk::kInk,
                          true,
                          i});
  }
  for (ChartLine* drawn : {&upper, &lower, &line})
    if (drawn->points.size() > 1) chart.lines.push_back(std::move(*drawn));
  frame.Ends(model.cases[cusum.cases.front()], model.cases[cusum.cases.back()]);
  return chart;
}

}  // namespace afterscope
