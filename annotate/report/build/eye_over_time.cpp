// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/build/parts.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {

namespace {

constexpr double kMostlyThere =
    1.0 / 3;                          // of the case: with less, only the stretch that was followed is shown
constexpr double kStretchAir = 0.02;  // to either side of it

// Half of the limits of a usual value, and the scale's part in it.
std::string LimitsText(const ReportBuild& build, const EyeCourse& course) {
  double middle = 0, count = 0;
  for (const auto& run : course.runs)
    for (const TimedValue& v : run) middle += v.value, ++count;
  const double by_scale = course.scale_error * middle / std::max(1.0, count),
               both = std::hypot(course.own_error, by_scale);
  const auto text = [&](double value) {
    return WithUnit(course.unit == "mm" ? fmt::format("{:.2f}", value) : fmt::format("{:.0f}", value),
                    UnitText(course.unit));
  };
  return course.scale_error > 0 ? build.Filled("eye_course.limits", text(both), text(by_scale))
                                : build.Filled("eye_course.limits.px", text(both));
}

void AddCourse(const ReportBuild& build, const char* key, const EyeCourse& course, EyeOverTimePanel& panel) {
  const std::string name = std::string("eye_course.") + key;
  if (course.Empty()) {
    panel.notes.push_back(build.Text(name + ".none"));
    return;
  }
  panel.charts.push_back({build.Text(name + "." + course.unit), course, LimitsText(build, course)});
}

// The whole case, or where little of it was followed the stretch alone.
void SetSpan(const ReportBuild& build, EyeOverTimePanel& panel) {
  double first = build.clock.TotalSeconds(), last = 0;
  for (const EyeChartPanel& chart : panel.charts) {
    first = std::min(first, chart.course.First().seconds);
    last = std::max(last, chart.course.Last().seconds);
  }
  panel.start_seconds = 0, panel.end_seconds = build.clock.TotalSeconds();
  if (last - first >= kMostlyThere * panel.end_seconds) return;
  const double air = std::max(0.5, kStretchAir * (last - first));
  panel.start_seconds = std::max(0.0, first - air);
  panel.end_seconds = std::min(panel.end_seconds, last + air);
  panel.notes.push_back(build.Filled("eye_course.stretch", FormatClock(first), FormatClock(last),
                                     FormatLength(build.clock.TotalSeconds())));
}

}  // namespace

void FillEyeOverTime(ReportBuild& build) {
  const EyeOverTime& eye = build.in.eye_over_time;
  if (eye.pupil.Empty() && eye.off_centre.Empty()) return;
  EyeOverTimePanel panel;
  AddCourse(build, "pupil", eye.pupil, panel);
  AddCourse(build, "off_centre", eye.off_centre, panel);
  SetSpan(build, panel);
  panel.notes.push_back(build.Text("eye_course.gaps"));
  if (eye.zoom_followed) panel.notes.push_back(build.Text("eye_course.zoom"));
  if (eye.outside_scale) panel.notes.push_back(build.Text("eye_course.outside"));
  build.model.eye_over_time = std::move(panel);
}

}  // namespace afterscope
