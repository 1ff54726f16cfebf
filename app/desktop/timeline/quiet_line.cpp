// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/quiet_line.hpp"

#include "annotate/case/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kSpeedReachSeconds = 0.2;
constexpr double kLongestQuietPause = 0.5;  // points farther apart belong to different runs

// The samples of a run that lie in the strip as columns of a pixel.
void AddColumns(QuietLayout& layout, const std::vector<QuietSample>& run, const Strip& strip) {
  const double range = layout.highest - layout.lowest;
  bool joined = false;
  for (const QuietSample& sample : run) {
    const float x = std::floor(strip.XAt(sample.seconds));
    if (x < strip.left || x > strip.right) continue;
    const auto share = static_cast<float>(range > 0 ? (sample.value - layout.lowest) / range : 0.5);
    if (joined && layout.columns.back().x == x) {
      layout.columns.back().low = std::min(layout.columns.back().low, share);
      layout.columns.back().high = std::max(layout.columns.back().high, share);
      continue;
    }
    layout.columns.push_back({x, share, share, joined});
    joined = true;
  }
}

void AddLevels(QuietLayout& layout, const std::vector<QuietSample>& run, const Strip& strip) {
  const double range = layout.highest - layout.lowest;
  for (std::size_t i = 0; i < run.size(); ++i) {
    const double until = i + 1 < run.size() ? run[i + 1].seconds : strip.to_s;
    const float left = std::max(strip.left, strip.XAt(run[i].seconds));
    const float right = std::min(strip.right, strip.XAt(until));
    const auto level = static_cast<float>(range > 0 ? (run[i].value - layout.lowest) / range : 0.5);
    if (right > left) layout.levels.push_back({left, right, level, run[i].value});
  }
}

// The tip's speeds within one trail, broken where it has a gap or no points for a while.
void AddSpeeds(QuietSeries& series, const Trail& trail, const CaseRecord& record, const CaseClock& clock) {
  std::vector<QuietSample> run;
  std::size_t from = 0;
  for (std::size_t i = 1; i < trail.points.size(); ++i) {
    const TrailPoint& before = trail.points[i - 1];
    const TrailPoint& point = trail.points[i];
    const double now = clock.Seconds(point.at);
    const bool in_gap = std::any_of(trail.gaps.begin(), trail.gaps.end(), [&](const TrailGap& gap) {
      return gap.range.start < point.at && before.at < gap.range.end;
    });
    if (in_gap || point.at.recording != before.at.recording ||
        now - clock.Seconds(before.at) > kLongestQuietPause) {
      if (!run.empty()) series.runs.push_back(std::move(run));
      run.clear();
      from = i;
      continue;
    }
    while (from + 1 < i && now - clock.Seconds(trail.points[from + 1].at) >= kSpeedReachSeconds) ++from;
    const double time = now - clock.Seconds(trail.points[from].at);
    const auto which = static_cast<std::size_t>(point.at.recording);
    if (time < kSpeedReachSeconds || which >= record.recordings.size()) continue;
    const RecordingShape& shape = record.recordings[which].shape;
    if (shape.height <= 0) continue;
    const OffsetPx moved = point.tip - trail.points[from].tip;
    const double distance = std::hypot(moved.x * shape.pixel_aspect.value(), moved.y) / shape.height;
    run.push_back({now - time / 2, distance / time});
  }
  if (!run.empty()) series.runs.push_back(std::move(run));
}

// Ends at half or, over a wider range, at whole millimetres.
void RoundMillimetres(QuietLayout& layout) {
  constexpr double kFine = 0.5, kMostFine = 2.5, kMostRules = 6;
  const double step = layout.highest - layout.lowest <= kMostFine ? kFine : 1;
  layout.lowest = step * std::floor(layout.lowest / step);
  layout.highest = std::max(layout.lowest + 1, step * std::ceil(layout.highest / step));
  const double span = layout.highest - layout.lowest;
  for (double at = step; at < span && span <= step * (kMostRules + 1); at += step)
    layout.rules.push_back(static_cast<float>(at / span));
}

}  // namespace

std::string QuietValueText(const QuietSeries& series, double value) {
  if (series.unit == "mm") return fmt::format("{:.1f} mm", value);
  return fmt::format("{:.3g}{}{}", value, series.unit.empty() ? "" : " ", series.unit);
}

QuietLayout LayOutQuietLine(const QuietSeries& series, const Strip& strip) {
  QuietLayout layout;
  if (series.from_least && !series.runs.empty() && !series.runs.front().empty())
    layout.lowest = layout.highest = series.runs.front().front().value;
  if (series.whole) layout.highest = 1;
  for (const auto& run : series.runs)
    for (const QuietSample& sample : run) {
      layout.lowest = std::min(layout.lowest, sample.value);
      layout.highest = std::max(layout.highest, sample.value);
    }
  if (series.unit == "mm" && !series.runs.empty()) RoundMillimetres(layout);
  for (const auto& run : series.runs)
    if (series.set)
      AddLevels(layout, run, strip);
    else
      AddColumns(layout, run, strip);
  return layout;
}

std::optional<double> QuietValueAt(const QuietSeries& series, double seconds) {
  for (const auto& run : series.runs) {
    if (run.empty() || seconds < run.front().seconds) continue;
    if (!series.set && seconds > run.back().seconds + series.holds_s) continue;
    const auto after =
        std::upper_bound(run.begin(), run.end(), seconds,
                         [](double s, const QuietSample& sample) { return s < sample.seconds; });
    return std::prev(after)->value;
  }
  return std::nullopt;
}

QuietSeries TipSpeed(const CaseRecord& record, const Review& review, const CaseClock& clock) {
  QuietSeries series{"tip speed", "picture heights/s", false, {}};
  for (const Trail& trail : review.trails) AddSpeeds(series, trail, record, clock);
  return series;
}

QuietSeries SettingOverTime(const Review& review, const CaseClock& clock, const std::string& key,
                            const std::string& name, const std::string& unit) {
  QuietSeries series{name, unit, true, {}};
  std::vector<QuietSample> run;
  for (const Moment& moment : review.moments) {
    const auto field = moment.fields.find(key);
    if (moment.kind != MomentKind::kSettings || field == moment.fields.end()) continue;
    if (const auto value = NumberFrom(field->second)) run.push_back({clock.Seconds(moment.at), *value});
  }
  if (!run.empty()) series.runs.push_back(std::move(run));
  return series;
}

}  // namespace afterscope
