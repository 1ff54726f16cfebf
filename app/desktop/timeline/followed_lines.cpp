// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/followed_lines.hpp"

#include <cmath>
#include <functional>
#include <utility>

namespace afterscope {
namespace {

constexpr double kLongestPauseSeconds = 1;

// A value of each sight that has one, broken where there is none for a while.
void AddRuns(QuietSeries& series, const FollowedEye& eye, const CaseClock& clock,
             const std::function<std::optional<double>(const EyeSight&)>& value_of) {
  std::vector<QuietSample> run;
  for (const EyeSight& sight : eye.sights) {
    const auto value = value_of(sight);
    if (!value) continue;
    const double seconds = clock.Seconds(sight.at);
    if (!run.empty() && seconds - run.back().seconds > kLongestPauseSeconds)
      series.runs.push_back(std::exchange(run, {}));
    run.push_back({seconds, *value});
  }
  if (!run.empty()) series.runs.push_back(std::move(run));
}

}  // namespace

QuietSeries PupilOverTime(const Followed& followed, const CaseClock& clock) {
  QuietSeries series{"pupil", "of the limbus", false, {}};
  for (const FollowedEye& eye : followed.eyes)
    AddRuns(series, eye, clock, [](const EyeSight& sight) -> std::optional<double> {
      const EyeOutline& limbus = sight.eye.limbus;
      const EyeOutline& pupil = sight.eye.pupil;
      const double across = limbus.ellipse.MeanDiameter();
      if (limbus.trust < kLeastTrust || pupil.trust < kLeastTrust || across <= 0) return std::nullopt;
      return pupil.ellipse.MeanDiameter() / across;
    });
  return series;
}

QuietSeries OffCentreOverTime(const Followed& followed, const CaseRecord& record, const CaseClock& clock) {
  QuietSeries series{"off-centre", "picture heights", false, {}};
  for (const FollowedEye& eye : followed.eyes) {
    const auto which = static_cast<std::size_t>(eye.recording);
    if (which >= record.recordings.size() || record.recordings[which].shape.height <= 0) continue;
    const RecordingShape& shape = record.recordings[which].shape;
    const PointSq middle =
        SqFromPx({(shape.width - 1) / 2.0, (shape.height - 1) / 2.0}, shape.pixel_aspect.value());
    AddRuns(series, eye, clock, [&](const EyeSight& sight) -> std::optional<double> {
      if (sight.eye.limbus.trust < kLeastTrust) return std::nullopt;
      const auto& centre = sight.eye.limbus.ellipse.center;
      return std::hypot(centre.x - middle.x, centre.y - middle.y) / shape.height;
    });
  }
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
