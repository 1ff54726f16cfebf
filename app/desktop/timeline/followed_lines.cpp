// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/followed_lines.hpp"

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

constexpr double kNextSight = 0.25;  // seconds: about when the next sight is due

void AddRuns(QuietSeries& series, const EyeCourse& course) {
  series.holds_s = kNextSight;
  for (const auto& values : course.runs) {
    std::vector<QuietSample> run;
    run.reserve(values.size());
    for (const TimedValue& v : values) run.push_back({v.seconds, v.value});
    series.runs.push_back(std::move(run));
  }
}

}  // namespace

QuietSeries PupilLine(const EyeOverTime& eye) {
  QuietSeries series{kPupilLine, eye.pupil.unit, false, {}};
  series.from_least = true;
  AddRuns(series, eye.pupil);
  return series;
}

QuietSeries OffCentreLine(const EyeOverTime& eye) {
  QuietSeries series{"off-centre", eye.off_centre.unit, false, {}};
  AddRuns(series, eye.off_centre);
  return series;
}

QuietSeries TrustOverTime(const Followed& followed, const CaseClock& clock) {
  QuietSeries out{kTrustLine, "", false, {}};
  std::vector<const FollowedTrail*> trails;
  for (const FollowedTrail& trail : followed.trails) trails.push_back(&trail);
  std::sort(trails.begin(), trails.end(), [](const FollowedTrail* a, const FollowedTrail* b) {
    return std::pair(a->recording, a->range.start) < std::pair(b->recording, b->range.start);
  });
  double until = -1;  // trails of two hands may overlap: the earlier one is shown
  for (const FollowedTrail* trail : trails) {
    std::vector<QuietSample> run;
    for (const FollowedTip& tip : trail->tips) {
      const double seconds = clock.Seconds(tip.at);
      if (seconds > until) run.push_back({seconds, tip.by_hand ? 1 : tip.confidence});
    }
    if (run.empty()) continue;
    until = run.back().seconds;
    out.runs.push_back(std::move(run));
  }
  return out;
}

}  // namespace afterscope
