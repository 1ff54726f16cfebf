// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/layout.hpp"

#include "annotate/case/visits.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace afterscope {
namespace {

constexpr float kNarrowestBand = 3;
constexpr float kNarrowestFrame = 3;
constexpr float kMomentReach = 14;
constexpr float kTickDistance = 90;

int Weight(MomentKind kind) {
  switch (kind) {
    case MomentKind::kComplication:
      return 4;
    case MomentKind::kTeachingPoint:
      return 3;
    case MomentKind::kCheck:
      return 2;
    case MomentKind::kSettings:
      return 1;
    case MomentKind::kRemark:
      return 0;
  }
  return 0;
}

// The band of one visit, cut to the strip; empty where it lies outside.
std::optional<BandRecord> BandOf(const Strip& strip, const CaseClock& clock, const Review& review,
                                 const StepVisit& visit) {
  const float left = strip.XAt(clock.Seconds(visit.start));
  const float right = strip.XAt(clock.Seconds(EndOf(review, visit, clock.end())));
  if (right < strip.left || left > strip.right) return std::nullopt;
  return BandRecord{std::max(left, strip.left), std::min(right, strip.right), visit.step, {visit.id},
                    visit.taken_over,           !visit.end.has_value()};
}

// Adds a band; one too narrow to see joins a narrow neighbour that it touches.
void AddMerged(std::vector<BandRecord>& bands, BandRecord band) {
  const auto narrow = [](const BandRecord& b) { return b.right - b.left < kNarrowestBand; };
  if (!bands.empty() && (narrow(band) && narrow(bands.back())) && band.left - bands.back().right < 1) {
    BandRecord& last = bands.back();
    last.right = std::max(band.right, last.left + 1);
    if (last.step != band.step) last.step.clear();
    last.visits.insert(last.visits.end(), band.visits.begin(), band.visits.end());
    last.taken_over = last.taken_over || band.taken_over;
    return;
  }
  bands.push_back(std::move(band));
}

std::vector<BandRecord> Bands(const Strip& strip, const CaseClock& clock, const Review& review, int lane) {
  std::vector<BandRecord> bands;
  for (const StepVisit& visit : review.visits) {
    if (visit.lane != lane) continue;
    if (auto band = BandOf(strip, clock, review, visit)) AddMerged(bands, std::move(*band));
  }
  return bands;
}

std::vector<MomentRecord> Moments(const Strip& strip, const CaseClock& clock, const Review& review,
                                  float unit) {
  std::vector<MomentRecord> records;
  for (const Moment& moment : review.moments) {
    const float x = strip.XAt(clock.Seconds(moment.at));
    if (x < strip.left || x > strip.right) continue;
    if (!records.empty() && x - records.back().x < kMomentReach * unit) {
      MomentRecord& last = records.back();
      last.moments.push_back(moment.id);
      if (Weight(moment.kind) > Weight(last.kind)) last.kind = moment.kind;
    } else {
      records.push_back({x, moment.kind, {moment.id}});
    }
  }
  return records;
}

std::vector<TimeTick> Ticks(const Strip& strip) {
  constexpr std::array kSteps{0.1,  0.2,   0.5,   1.0,   2.0,    5.0,    10.0,   15.0,  30.0,
                              60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0, 7200.0};
  const double pixels = strip.PixelsPerSecond();
  if (pixels <= 0) return {};
  const auto* step =
      std::find_if(kSteps.begin(), kSteps.end(), [&](double s) { return s * pixels >= kTickDistance; });
  const double every = step == kSteps.end() ? 14400.0 : *step;
  std::vector<TimeTick> ticks;
  for (double s = std::ceil(strip.from_s / every) * every; s <= strip.to_s; s += every)
    ticks.push_back({strip.XAt(s), s});
  return ticks;
}

std::vector<float> Joints(const Strip& strip, const CaseClock& clock) {
  std::vector<float> joints;
  for (std::size_t i = 1; i < clock.Starts().size(); ++i) joints.push_back(strip.XAt(clock.Starts()[i]));
  return joints;
}

void AddFrames(MomentLayout& layout, const CaseClock& clock, const FrameTable& table, int recording,
               float picture_width) {
  if (table.empty()) return;
  const auto seconds = [&](Pts pts) { return clock.Seconds({recording, pts}); };
  const double first_s = seconds(table.begin());
  if (layout.strip.to_s < first_s || layout.strip.from_s > seconds(table.end())) return;

  const double mean_s =
      (table.end() - table.begin()).Seconds(table.time_base()) / static_cast<double>(table.size());
  const double mean_px = mean_s * layout.strip.PixelsPerSecond();
  if (mean_px <= 0) return;
  const auto stride = std::max<std::int64_t>(1, std::llround(picture_width / mean_px));

  // The first frame in sight, taken back to where a picture begins.
  const double into_s = std::max(0.0, layout.strip.from_s - first_s);
  const Pts from = table.begin() + TickSpan{static_cast<std::int64_t>(into_s / table.time_base().value())};
  const std::int64_t first = table.At(from).value_or(FrameIndex{0}).value / stride * stride;
  for (std::int64_t i = first; i < table.size(); ++i) {
    const FrameEntry& entry = table[FrameIndex{i}];
    const float left = layout.strip.XAt(seconds(entry.pts));
    if (left > layout.strip.right) break;
    const Pts next = i + 1 < table.size() ? table[FrameIndex{i + 1}].pts : table.end();
    const float right = layout.strip.XAt(seconds(next));
    const FrameRef at{recording, entry.pts};
    if (i % stride == 0) layout.pictures.push_back({left, right, at});
    layout.pictures.back().right = right;
    if (mean_px >= kNarrowestFrame && right >= layout.strip.left)
      layout.frames.push_back({left, right, at, entry.key, entry.damaged});
  }
}

std::vector<BoundaryRecord> Boundaries(const Strip& strip, const CaseClock& clock, const Review& review) {
  std::vector<BoundaryRecord> records;
  const auto add = [&](FrameRef at, const StepVisit& visit, bool starts) {
    const float x = strip.XAt(clock.Seconds(at));
    if (x < strip.left || x > strip.right) return;
    auto same = std::find_if(records.begin(), records.end(),
                             [&](const BoundaryRecord& r) { return r.at == at && r.lane == visit.lane; });
    if (same == records.end())
      same = records.insert(records.end(), BoundaryRecord{x, at, {}, {}, visit.lane});
    (starts ? same->starting : same->ending) = visit.id;
  };
  for (const StepVisit& visit : review.visits) {
    add(visit.start, visit, true);
    if (visit.end) add(*visit.end, visit, false);
  }
  std::sort(records.begin(), records.end(), [](const auto& a, const auto& b) { return a.at < b.at; });
  return records;
}

}  // namespace

OperationLayout LayOutOperation(const CaseClock& clock, const Review& review, float left, float right,
                                float unit) {
  OperationLayout layout;
  layout.strip = {0, clock.TotalSeconds(), left, right};
  layout.bands = Bands(layout.strip, clock, review, 0);
  layout.other_hand = Bands(layout.strip, clock, review, 1);
  layout.moments = Moments(layout.strip, clock, review, unit);
  layout.ticks = Ticks(layout.strip);
  layout.joints = Joints(layout.strip, clock);
  return layout;
}

MomentLayout LayOutMoment(const CaseClock& clock, const Review& review, const Tables& tables,
                          FrameRef playhead, double span_s, float left, float right, float picture_width,
                          float unit) {
  MomentLayout layout;
  const double at = clock.Seconds(playhead);
  layout.strip = {at - span_s / 2, at + span_s / 2, left, right};
  for (std::size_t i = 0; i < tables.size(); ++i)
    if (tables[i]) AddFrames(layout, clock, *tables[i], static_cast<int>(i), picture_width);
  layout.bands = Bands(layout.strip, clock, review, 0);
  layout.other_hand = Bands(layout.strip, clock, review, 1);
  layout.boundaries = Boundaries(layout.strip, clock, review);
  layout.moments = Moments(layout.strip, clock, review, unit);
  return layout;
}

}  // namespace afterscope
