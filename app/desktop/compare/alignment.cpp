// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/compare/alignment.hpp"

#include "annotate/case/timed_visits.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kSlowest = 0.125;
constexpr double kFastest = 8;
constexpr float kPictureAspect = 16.0F / 9;

}  // namespace

double RateOf(const ComparedStretch& first, const ComparedStretch& stretch, ComparedSpeed speed) {
  if (speed == ComparedSpeed::kOwn || !(first.length_s > 0) || !(stretch.length_s > 0)) return 1;
  return std::clamp(stretch.length_s / first.length_s, kSlowest, kFastest);
}

double CommonLength(const std::vector<ComparedStretch>& stretches, ComparedSpeed speed) {
  double longest = 0;
  for (const ComparedStretch& stretch : stretches)
    longest = std::max(longest, stretch.length_s / RateOf(stretches.front(), stretch, speed));
  return longest;
}

double PlaceAt(const ComparedStretch& first, const ComparedStretch& stretch, ComparedSpeed speed,
               double common_s) {
  return stretch.start_s + std::clamp(common_s * RateOf(first, stretch, speed), 0.0, stretch.length_s);
}

bool HasStep(const Review& review, const std::string& step) {
  return std::any_of(review.visits.begin(), review.visits.end(),
                     [&](const StepVisit& visit) { return visit.lane == 0 && visit.step == step; });
}

std::vector<ComparedStretch> VisitsOf(const Review& review, const CaseClock& clock, const std::string& step) {
  std::vector<ComparedStretch> visits;
  for (const JoinedVisit& visit : JoinedVisits(TimedVisits({}, review, clock)))
    if (visit.step == step)
      visits.push_back({visit.seconds.start, std::max(0.0, visit.seconds.end - visit.seconds.start)});
  return visits;
}

std::optional<ComparedStretch> StretchOf(const Review& review, const CaseClock& clock,
                                         const std::string& step, std::size_t visit) {
  const auto visits = VisitsOf(review, clock, step);
  if (visits.empty()) return std::nullopt;
  return visits[std::min(visit, visits.size() - 1)];
}

std::vector<std::string> CommonSteps(const std::vector<const Review*>& reviews) {
  std::vector<std::string> steps;
  if (reviews.empty()) return steps;
  for (const StepVisit& visit : reviews.front()->visits) {
    if (visit.lane != 0 || std::find(steps.begin(), steps.end(), visit.step) != steps.end()) continue;
    if (std::all_of(reviews.begin(), reviews.end(),
                    [&](const Review* review) { return HasStep(*review, visit.step); }))
      steps.push_back(visit.step);
  }
  return steps;
}

std::vector<ScreenRect> PaneAreas(std::size_t count, const ScreenRect& area, float gap) {
  std::size_t best_columns = 1;
  float best = -1;
  const auto width_of = [&](std::size_t n) {
    return (area.Width() - gap * static_cast<float>(n - 1)) / static_cast<float>(n);
  };
  const auto height_of = [&](std::size_t n) {
    return (area.Height() - gap * static_cast<float>(n - 1)) / static_cast<float>(n);
  };
  for (std::size_t columns = 1; columns <= count; ++columns) {
    const std::size_t rows = (count + columns - 1) / columns;
    const float picture = std::min(width_of(columns), height_of(rows) * kPictureAspect);
    if (picture <= best) continue;
    best = picture;
    best_columns = columns;
  }
  std::vector<ScreenRect> panes;
  const std::size_t rows = count == 0 ? 0 : (count + best_columns - 1) / best_columns;
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t column = i % best_columns, row = i / best_columns;
    const float left = area.left + static_cast<float>(column) * (width_of(best_columns) + gap);
    const float top = area.top + static_cast<float>(row) * (height_of(rows) + gap);
    panes.push_back({std::round(left), std::round(top), std::round(left + width_of(best_columns)),
                     std::round(top + height_of(rows))});
  }
  return panes;
}

}  // namespace afterscope
