// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/measure_context.hpp"
#include "annotate/jobs/measure/prepared_trail.hpp"
#include "metrics/path/entries.hpp"
#include "metrics/path/tip_path.hpp"
#include "metrics/series/draws.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

// A place that was followed is off by less from its neighbours than one set by hand; what it is off by for
// longer is shared with them (kFollowedSharedSd). Measured on a phantom whose motion is known, as followed by
// this program: 0.7 square pixels between places 0.2 s apart, 1.3 between those 0.8 s and more apart.
constexpr double kFollowedSharedSeconds = 0.8;
constexpr double kFollowedPause =
    10 * kFollowedSharedSeconds;  // long enough to know nothing of what was before

// What no error of single places tells: where following takes to a wrong place and comes back, the way there
// and back is in the length, or what was left out is missing. Measured on seven phantoms followed from ten or
// eleven places set by hand (`verify`, seeds 777 and 888): lengths were off by 6 % (root mean square; the
// worst by 14 %), of which the rest of the limits told of 2.6 %.
constexpr double kFollowedLengthSd = 0.05;

// The same of what rests on few places. On twelve phantoms (`verify`, the usual ones and eight of seed 777)
// the largest speed of a followed tip was off by 20 % (root mean square), from 16 % too little, where small
// quick movements were smoothed away, to 43 % too much; the time still by 14 %, nearly always too long; the
// count of movements by 1.4.
constexpr double kFollowedPeakSd = 0.2, kFollowedStillSd = 0.12, kFollowedMovementSd = 0.15;

constexpr double kMostlySeen = 0.95;  // a path of which less was seen says so

struct TrailTimes {
  double marked = 0, eye_empty = 0, not_visible = 0;
  int entries = 0;
};

TrailTimes TimesOf(const MeasureContext& context, const Trail& trail, const PreparedTrail& prepared) {
  TrailTimes out;
  for (const TipStretch& s : prepared.stretches) out.marked += s.back().seconds - s.front().seconds;
  bool in_eye = false;
  std::vector<std::pair<double, int>> events;  // 0: a position, 1: out of the eye
  for (const TrailGap& gap : trail.gaps) {
    const double length =
        std::max(0.0, context.clock.Seconds(gap.range.end) - context.clock.Seconds(gap.range.start));
    (gap.out_of_eye ? out.eye_empty : out.not_visible) += length;
    if (gap.out_of_eye) events.emplace_back(context.clock.Seconds(gap.range.start), 1);
  }
  for (const TipStretch& s : prepared.stretches) events.emplace_back(s.front().seconds, 0);
  std::sort(events.begin(), events.end());
  for (const auto& [seconds, kind] : events) {
    out.entries += kind == 0 && !in_eye;
    in_eye = kind == 0;
  }
  return out;
}

class TrailFindings {
 public:
  TrailFindings(const MeasureContext& context, const Trail* trail, const PreparedTrail& prepared,
                std::vector<Finding>& out)
      : context_(context), out_(out) {
    origin_.trail = trail;
    origin_.marks = prepared.eye_marks;
    if (trail) origin_.operator_code = OtherOperator(context, *trail);
    if (prepared.others_seconds > 0.05)
      cautions_.push_back(
          fmt::format("{:.1f} s of it are left out: others had the instruments", prepared.others_seconds));
    if (prepared.eye_lost_seconds > 0.05)
      cautions_.push_back(fmt::format("{:.1f} s of it are left out: the eye was not followed there",
                                      prepared.eye_lost_seconds));
    if (!prepared.eye_frame)
      cautions_.push_back(
          "eye and microscope motion is in it: mark the limbus at the start and the end of the trail");
  }

  void Put(const std::string& name, Measured measured, bool of_motion = true) {
    if (of_motion && measured.estimate)
      measured.cautions.insert(measured.cautions.end(), cautions_.begin(), cautions_.end());
    out_.push_back(MakeFinding(context_, name, std::move(measured), origin_));
  }
  void UseScale(const ResolvedScale* scale) { origin_.scale = scale; }
  void Caution(std::string text) { cautions_.push_back(std::move(text)); }

 private:
  const MeasureContext& context_;
  std::vector<Finding>& out_;
  Origin origin_;
  std::vector<std::string> cautions_;
};

// px to mm at the trail: in the plane of the capsule with the tip's depth in the spread, and as seen.
struct TipScale {
  double k = 0, sd = 0;
  double seen_k = 0, seen_sd = 0;
  std::string said;
  std::vector<std::string> cautions;
};

std::optional<TipScale> ScaleOfTip(const MeasureContext& context, const Trail& trail, bool eye_followed,
                                   TrailFindings& add) {
  const FrameRef first = trail.points.front().at, last = trail.points.back().at;
  const auto chosen = context.ScaleAt(first, Plane::kCapsule);
  if (!chosen) return std::nullopt;
  add.UseScale(chosen->source);
  const PlaneFactor tip = FactorOfTip(context.facts);
  TipScale out{
      chosen->mm_per_sq,
      std::hypot(chosen->relative_sd, tip.sd / tip.value),
      chosen->as_seen_mm_per_sq,
      chosen->as_seen_relative_sd,
      fmt::format(
          "{}; corneal factor {:.3g} of the capsule's plane, from which the tip is taken to lie {:.2g} mm "
          "(standard deviation)",
          chosen->source->method, tip.value, kTipDepthSd),
      chosen->source->scale->cautions};
  if (chosen->outside_stretch || (!eye_followed && !chosen->source->HoldsAt(last)))
    out.cautions.push_back("the scale was taken outside the stretch it holds for; the zoom may have changed");
  return out;
}

Estimate ScaledBy(const Estimate& e, double factor, double relative_sd, int power) {
  const double f = std::pow(factor, power),
               by_scale = kNormal95 * power * relative_sd * std::abs(e.value) * f;
  const double below = std::hypot((e.value - e.low) * f, by_scale),
               above = std::hypot((e.high - e.value) * f, by_scale);
  return {e.value * f, std::max(0.0, e.value * f - below), e.value * f + above, e.level};
}

void AddScaled(TrailFindings& add, const char* name, const Estimate& sq, const char* unit, int power,
               const std::optional<TipScale>& scale, const std::string& method) {
  if (scale)
    add.Put(name, {ScaledBy(sq, scale->k, scale->sd, power), unit,
                   fmt::format("{}; scale: {}", method, scale->said), scale->cautions});
  else
    add.Put(name, NotMeasured(unit, method, kNoScaleReason));
}

std::string BandText(const TipPath& path) {
  return fmt::format(
      "in the band of a second-order Butterworth low-pass run both ways, half power at {:.2g} Hz",
      path.cutoff_hz);
}

std::string PathMethod(const TipPath& path, const char* what) {
  return fmt::format(
      "{} from positions at {:.4g} a second, smoothed by how far a mark is off, {}; lengthening by marking "
      "noise removed",
      what, path.rate_hz, BandText(path));
}

const char* const kJerkCaution =
    "marking noise and tremor rule the jerk: its limits hold the true value in six to seven of ten simulated "
    "trails";

void AddPlain(TrailFindings& add, const char* name, const std::optional<Estimate>& estimate,
              const std::string& method, const char* caution) {
  if (estimate)
    add.Put(name, {*estimate, "1", method, {caution}});
  else
    add.Put(name, NotMeasured("1", method, "not defined for this motion"));
}

void AddPath(const TipPath& path, const std::optional<TipScale>& scale, TrailFindings& add) {
  const std::string method = PathMethod(path, "path of the tip in the plane of the capsule");
  AddScaled(add, "path.length", path.length, "mm", 1, scale, method);
  const std::string seen = PathMethod(path, "path of the tip as seen");
  if (scale)
    add.Put("path.length.as_seen", {ScaledBy(path.length, scale->seen_k, scale->seen_sd, 1), "mm",
                                    fmt::format("{}; scale: {}", seen, scale->said), scale->cautions});
  else
    add.Put("path.length.as_seen", {path.length, "px", seen, {"no scale: in pixels"}});
  const double to_mm = scale ? scale->seen_k : 1;
  const char* speed_unit = scale ? "mm/s" : "px/s";
  add.Put(
      "path.movements",
      {path.movements,
       "count",
       fmt::format("runs of speed above {:.2g} {} as seen, each until it falls to half of that, from {:.4g} "
                   "positions a second, {}",
                   path.movement_speed * to_mm, speed_unit, path.rate_hz, BandText(path)),
       {}});
  AddScaled(add, "path.speed_mean", path.mean_speed, "mm/s", 1, scale,
            PathMethod(path, "path length by time marked"));
  AddScaled(add, "path.speed_peak", path.peak_speed, "mm/s", 1, scale,
            PathMethod(path, "largest speed, 0.15 s and more from the ends of a stretch without a gap,"));
  const bool moved = path.length.value > 0;
  if (moved)
    add.Put("path.economy", {path.economy,
                             "1",
                             PathMethod(path, "straight line from first to last position by path length"),
                             {}});
  else
    add.Put("path.economy", NotMeasured("1", "straight line by path length", "the tip did not move"));
  AddScaled(add, "path.area", path.area, "mm2", 2, scale, PathMethod(path, "convex hull of the path"));
  add.Put(
      "path.tip_still",
      {path.still_seconds,
       "s",
       fmt::format("time slower than {:.2g} {} as seen, over a third of a second, less {:.2g} s on either "
                   "side of what is faster; from {:.4g} positions a second",
                   path.still_speed * to_mm, speed_unit, kTipStillMargin, path.rate_hz),
       {}});
  AddPlain(add, "path.sparc", path.sparc,
           "spectral arc length of speed up to 10 Hz, threshold 0.05, longest stretch",
           "its limits hold the true value in nine of ten simulated trails, not in nineteen of twenty");
  AddPlain(add, "path.ldlj_scalar", path.log_jerk_speed,
           "log dimensionless jerk, second difference of scalar speed, T = N dt, longest stretch",
           kJerkCaution);
  AddPlain(add, "path.ldlj_vector", path.log_jerk_motion,
           "log dimensionless jerk, length of the jerk vector, T = N dt, longest stretch", kJerkCaution);
}

void AddNoPath(const std::string& reason, TrailFindings& add) {
  const std::pair<const char*, const char*> rows[] = {
      {"path.length", "mm"},       {"path.length.as_seen", "mm"}, {"path.movements", "count"},
      {"path.speed_mean", "mm/s"}, {"path.speed_peak", "mm/s"},   {"path.economy", "1"},
      {"path.area", "mm2"},        {"path.tip_still", "s"},       {"path.sparc", "1"},
      {"path.ldlj_scalar", "1"},   {"path.ldlj_vector", "1"}};
  for (const auto& [name, unit] : rows) add.Put(name, NotMeasured(unit, "positions of the tip", reason));
}

// Of the time that the tip is known or supposed to be in the eye; empty where that is none.
std::optional<double> SeenShare(const TrailTimes& times) {
  const double all = times.marked + times.not_visible;
  return all > 0 ? std::optional(times.marked / all) : std::nullopt;
}

void AddTimes(const MeasureContext& context, const Trail& trail, const PreparedTrail& prepared,
              const TrailTimes& times, TrailFindings& add) {
  const double frame = trail.points.empty() ? 0 : context.FrameSeconds(trail.points.front().at);
  const auto seconds = [&](double s, double boundaries) {
    return Measured{Estimate{s, std::max(0.0, s - 0.8 * frame * std::sqrt(boundaries)),
                             s + 0.8 * frame * std::sqrt(boundaries)},
                    "s",
                    "frame timestamps of the trail",
                    {}};
  };
  const auto gaps = static_cast<double>(std::max<std::size_t>(trail.gaps.size(), 1));
  add.Put("path.time_marked",
          seconds(times.marked, static_cast<double>(std::max<std::size_t>(prepared.stretches.size(), 1))),
          false);
  add.Put("path.eye_empty", seconds(times.eye_empty, gaps), false);
  add.Put("path.not_visible", seconds(times.not_visible, gaps), false);
  const char* seen_method =
      "time marked by time marked and not visible (which is also where a place is not believed)";
  if (const auto share = SeenShare(times)) {
    const double off = kNormal95 * frame * std::sqrt(gaps / 6) / (times.marked + times.not_visible);
    add.Put(
        "path.seen_share",
        {Estimate{*share, std::max(0.0, *share - off), std::min(1.0, *share + off)}, "1", seen_method, {}},
        false);
  } else {
    add.Put("path.seen_share", NotMeasured("1", seen_method, "the trail covers no time"), false);
  }
  const auto unseen = std::count_if(trail.gaps.begin(), trail.gaps.end(), [&](const TrailGap& gap) {
    return !gap.out_of_eye &&
           context.clock.Seconds(gap.range.end) - context.clock.Seconds(gap.range.start) >= kLeastOutAndIn;
  });
  add.Put(
      "path.entries",
      {CountEntries(times.entries, static_cast<int>(unseen)),
       "count",
       "stretches of the trail that follow its start or a gap out of the eye; a reviewer overlooks and adds "
       "one gap in twenty (common practice, no source), and where the tip is not seen for two seconds and "
       "more it may have gone out and come back",
       {}},
      false);
}

// The shared error of followed places, known anew every so often but not through long pauses; with that of
// the eye's marks, if it has any.
FrameError FollowingError(const PreparedTrail& prepared) {
  FrameError out{{}, std::hypot(kFollowedSharedSd, prepared.eye_error.sd)};
  std::vector<double>& known = out.seconds;
  for (const TipStretch& stretch : prepared.stretches)
    for (const TipSample& sample : stretch) {
      if (known.empty() || sample.seconds - known.back() > kFollowedPause) known.push_back(sample.seconds);
      while (known.back() < sample.seconds) {
        const double next = known.back() + kFollowedSharedSeconds;
        known.push_back(next > known.back() ? next : sample.seconds);
      }
    }
  return out;
}

Estimate Widened(const Estimate& e, double sd, double most = HUGE_VAL) {
  const double more = kNormal95 * sd * e.value;
  return {e.value, std::max(0.0, e.value - std::hypot(e.value - e.low, more)),
          std::min(most, e.value + std::hypot(e.high - e.value, more)), e.level};
}

// Of a path that was followed.
void WidenFollowed(TipPath& path) {
  path.length = Widened(path.length, kFollowedLengthSd);
  path.mean_speed = Widened(path.mean_speed, kFollowedLengthSd);
  path.economy = Widened(path.economy, kFollowedLengthSd, 1);
  path.peak_speed = Widened(path.peak_speed, kFollowedPeakSd);
  path.still_seconds = Widened(path.still_seconds, kFollowedStillSd, path.seconds);
  path.movements = Widened(path.movements, kFollowedMovementSd);
  path.movements.low = std::floor(path.movements.low);
  path.movements.high = std::ceil(path.movements.high);
}

void MeasureTrail(const MeasureContext& context, const Trail& trail, unsigned seed,
                  std::vector<Finding>& out) {
  const PreparedTrail prepared = PrepareTrail(context, trail);
  TrailFindings add(context, &trail, prepared, out);
  std::optional<TipScale> scale;
  if (!trail.points.empty()) scale = ScaleOfTip(context, trail, prepared.eye_followed, add);
  TipPathOptions options;
  options.point_sd = IsFollowed(trail) ? kFollowedPointSd : context.error.point_sd;
  options.frame = IsFollowed(trail) ? FollowingError(prepared) : prepared.eye_error;
  options.simulations = std::clamp(context.options.simulations / 30, 10, 100);
  options.seed = context.Seed(seed);
  if (scale) {
    options.movement_speed = kTipMovementMm / scale->seen_k;
    options.still_speed = kTipStillMm / scale->seen_k;
  }
  std::string why = "the trail has no position";
  auto path = MeasureTipPath(prepared.stretches, options, &why);
  if (path && IsFollowed(trail)) WidenFollowed(*path);
  if (path && path->stretches_left_out > 0)
    add.Caution(fmt::format("{} stretches of fewer than 8 positions are left out", path->stretches_left_out));
  const TrailTimes times = TimesOf(context, trail, prepared);
  if (const auto share = SeenShare(times); path && share && *share < kMostlySeen)
    add.Caution(fmt::format(
        "the tip was seen for {:.0f} % of its time in the eye; what it did in the rest is not in it",
        100 * *share));
  if (path && path->cutoff_hz < options.cutoff_hz)
    add.Caution(
        fmt::format("positions were marked too seldom to see motion above {:.2g} Hz", path->cutoff_hz));
  if (path)
    AddPath(*path, scale, add);
  else
    AddNoPath(why, add);
  AddTimes(context, trail, prepared, times, add);
}

}  // namespace

void MeasureTrails(const MeasureContext& context, std::vector<Finding>& out) {
  unsigned seed = 1000;
  for (const Trail& trail : context.review.trails)
    if (!Stopped(context.options.stop)) MeasureTrail(context, trail, seed++, out);
  if (!context.review.trails.empty()) return;
  TrailFindings add(context, nullptr, {}, out);
  AddNoPath("no trail is marked", add);
  for (const char* name : {"path.time_marked", "path.eye_empty", "path.not_visible"})
    add.Put(name, NotMeasured("s", "frame timestamps of the trail", "no trail is marked"));
  add.Put("path.seen_share",
          NotMeasured("1", "time marked by time marked and not visible", "no trail is marked"));
  add.Put("path.entries", NotMeasured("count", "stretches of the trail", "no trail is marked"));
}

}  // namespace afterscope
